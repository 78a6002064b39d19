"""Reminders and interest: the editions, and a new one by an owner's hand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import chase_terms as acts
from portal.acts.chase_terms import ChaseTerms
from portal.core.errors import BadInput, NotAllowed, Problem
from portal.core.money.chasing import MOST_STEPS
from portal.core.words import say
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary

Answer = str | Response | tuple[str, int]
#: Empty steps offered behind those that are filled.
SPARE = 1
STEP, INTEREST = ("days", "subject", "body"), ("percent", "grace_days", "counts")


def chasing() -> Answer:
    """What is chased by, and an owner's form for another edition."""
    found = acts.chase_terms(parts(), who())
    if request.method != "POST":
        return _page(found, _filled(found[0] if found else None), {})
    if not who().owner:
        raise NotAllowed(say("Only an owner may change this."))
    values = _typed(request.form)
    try:
        first_day, once = _day(values["first_day"]), request.form.get("once_key", "")
        number = acts.enter_chase_terms(parts(), who(), first_day, _document(values), once)
    except BadInput as bad:
        return _page(found, values, beside(bad)), 422
    flash(_("Reminders and interest, edition %(number)s, is entered.", number=number))
    return redirect(url_for("office.chasing"), 303)


def _page(found: list[ChaseTerms], values: dict[str, str], errors: dict[str, list[str]]) -> str:
    today = parts().today()
    holds = next((one for one in found if one.edition.first_day <= today), None)
    filled = sum(1 for n in range(MOST_STEPS) if any(values.get(f"steps[{n}].{key}") for key in STEP))
    return page(
        "office/chasing.html", found=found, holds=holds, values=values, errors=errors,
        problems=summary(errors), count=min(filled + SPARE, MOST_STEPS), owner=who().owner, today=today,
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip


def _filled(newest: ChaseTerms | None) -> dict[str, str]:
    """The newest edition, to be changed; where there is none, an example to be made one's own."""
    values = {"first_day": parts().today().isoformat(), "interest.grace_days": "0", "interest.counts": "365"}
    if newest is None:
        return values | _example()
    document = newest.edition.document
    for n, step in enumerate(document.get("steps", [])):
        values |= {f"steps[{n}].{key}": str(step.get(key, "")) for key in STEP}
    return values | {f"interest.{key}": str(value) for key, value in document.get("interest", {}).items()}


def _example() -> dict[str, str]:
    words = (
        ("-3", _("{invoice} is due on {due}"),
         _("{amount} for {lot} is due on {due}, in {days} days. Thank you for seeing to it.")),
        ("7", _("{invoice} is {days} days past due"),
         _("{amount} for {lot} was due on {due}. If it is on its way, thank you. If something is not right "
           "about the invoice, tell us, and we look at it before we write again.")),
        ("30", _("{invoice}: {amount} is {days} days past due"),
         _("{amount} for {lot} was due on {due} and has not come. Please pay it, or call and say by when.")),
    )  # fmt: skip
    return {
        f"steps[{n}].{key}": text
        for n, step in enumerate(words) for key, text in zip(STEP, step, strict=True)
    }  # fmt: skip


def _typed(form: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by path, with empty steps closed up."""
    rows = [{key: form.get(f"steps[{n}].{key}", "").strip() for key in STEP} for n in range(MOST_STEPS)]
    kept = [row for row in rows if any(row.values())]
    values = {f"steps[{n}].{key}": text for n, row in enumerate(kept) for key, text in row.items()}
    values |= {f"interest.{key}": form.get(f"interest.{key}", "").strip() for key in INTEREST}
    return values | {"first_day": form.get("first_day", "").strip()}


def _document(values: Mapping[str, str]) -> dict[str, Any]:
    count = sum(1 for n in range(MOST_STEPS) if f"steps[{n}].days" in values)
    steps = [{key: values[f"steps[{n}].{key}"].replace("\r\n", "\n") for key in STEP} for n in range(count)]
    return {"steps": steps, "interest": {key: values[f"interest.{key}"] for key in INTEREST}}


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        says = say("“{read}” is no day; write it as 2027-03-09.", read=text[:20])
        raise BadInput([Problem("first_day", says)]) from None
