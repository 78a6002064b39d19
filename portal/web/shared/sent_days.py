"""A calendar day out of a form that is no class of its own."""

from __future__ import annotations

from datetime import date

from flask import request

from portal.core.errors import BadInput, Problem
from portal.core.words import say


def sent_day(name: str) -> date | None:
    """The day sent in a field, none where it is empty. Raises `BadInput` for what is no day."""
    typed = request.form.get(name, "").strip()
    try:
        return date.fromisoformat(typed) if typed else None
    except ValueError:
        raise BadInput([Problem(name, say("This is no day. Write it as 2027-07-05."))]) from None
