"""The form in which an addition is asked for, as it was typed."""

from __future__ import annotations

from flask import request

from portal.acts.adding import AdditionTyped
from portal.web.shared.sent_days import sent_day

FIELDS = ("words", "framed_on", "name", "email", "phone")


def typed() -> dict[str, str]:
    """What was typed, field by field."""
    return {name: request.form.get(name, "").replace("\r\n", "\n") for name in FIELDS}


def read() -> AdditionTyped:
    """The same as the act takes it. Raises `BadInput` for a day that is none."""
    found = typed()
    return AdditionTyped(found["words"], sent_day("framed_on"), found["name"], found["email"], found["phone"])
