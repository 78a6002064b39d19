"""Trouble at the house, reported by whoever lives there: words, photos, and how to be reached."""

from __future__ import annotations

from datetime import date

from flask import request
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import covering, reporting
from portal.acts.reporting import MOST_PHOTOS, TroubleTyped
from portal.core.errors import BadInput, Refused, TooManyTries
from portal.pictures import LARGEST
from portal.web.security import address, parts
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told

Answer = AnyResponse | str | tuple[str, int] | tuple[str, int, dict[str, str]]
FIELDS = ("words", "name", "email", "phone")


def report(token: str) -> Answer:
    """The form; sent, what was kept: its number, and by when somebody answers."""
    if request.method != "POST":
        return _form(token)
    typed = TroubleTyped(**{name: request.form.get(name, "").replace("\r\n", "\n") for name in FIELDS})
    try:
        made = reporting.report(
            parts(), token, typed, sent_photos(), address(), request.form.get("once_key", "")
        )
    except BadInput as bad:
        return _form(token, errors=beside(bad)), 422
    except Refused as refused:
        return _form(token, sentence=told(refused.says)), 409
    except TooManyTries as error:
        minutes = -(-error.wait_seconds // 60)
        sentence = _("Reported too often. Wait %(minutes)s minutes, or call the office.", minutes=minutes)
        return _form(token, sentence=sentence), 429, {"Retry-After": str(error.wait_seconds)}
    found = covering.by_link(parts(), token)
    return page("homeowner/trouble_reported.html", number=made.number, warranty=found, token=token,
                due_on=date.fromisoformat(made.due_on), email=typed.email.strip())  # fmt: skip


def sent_photos() -> tuple[bytes, ...]:
    """The files that were chosen, each read no further than shows that it is too large; one too many is
    enough to say so."""
    chosen = [file for file in request.files.getlist("photos") if file.filename][: MOST_PHOTOS + 1]
    return tuple(file.stream.read(LARGEST + 1) for file in chosen)


def _form(token: str, **shown: object) -> str:
    known = {"errors": {}, "sentence": ""} | shown
    errors = known["errors"]
    assert isinstance(errors, dict)
    if any(file.filename for file in request.files.getlist("photos")):
        # A browser sends no file again by itself, and nothing of a report that is not made is kept.
        errors.setdefault("photos", _("Your photos were not kept: choose them again."))
    return page(
        "homeowner/trouble.html", warranty=covering.by_link(parts(), token), token=token,
        typed={name: request.form.get(name, "") for name in FIELDS}, summary=summary(errors),
        most=MOST_PHOTOS, once=request.form.get("once_key") or fresh_once_key(), **known,
    )  # fmt: skip
