"""The form in which an addition is asked for, as it was typed."""

from __future__ import annotations

from datetime import date

from flask import request

from portal.acts.adding import AdditionTyped
from portal.core.errors import BadInput, Problem
from portal.core.words import say

FIELDS = ("words", "framed_on", "name", "email", "phone")


def typed() -> dict[str, str]:
    """What was typed, field by field."""
    return {name: request.form.get(name, "").replace("\r\n", "\n") for name in FIELDS}


def read() -> AdditionTyped:
    """The same as the act takes it. Raises `BadInput` for a day that is none."""
    found, day = typed(), request.form.get("framed_on", "").strip()
    try:
        read_day = date.fromisoformat(day) if day else None
    except ValueError:
        raise BadInput([Problem("framed_on", say("This is no day. Write it as 2027-07-05."))]) from None
    return AdditionTyped(found["words"], read_day, found["name"], found["email"], found["phone"])
