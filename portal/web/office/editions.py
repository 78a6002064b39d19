"""The rate book: the editions in force and the older ones, and a new one by an owner's hand."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import editions as acts
from portal.core.errors import BadInput, NotAllowed, Problem
from portal.core.words import say
from portal.web.office.edition_fields import A_FOOT, FIELDS, KINDS, ROWS, rows_of
from portal.web.office.edition_values import document, filled, label_of, row_counts, typed
from portal.web.office.foreseen import Foreseen, foreseen, was_seen
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary

Answer = str | Response | tuple[str, int]


def rate_book() -> str:
    """Every edition of every kind."""
    book = acts.rate_book(parts(), who())
    today = parts().today()
    sections = [
        (kind, KINDS[kind], acts.holding(found, today), [(e, filled(kind, e.document)) for e in found])
        for kind, found in book.items()
    ]
    return page(
        "office/rate_book.html", sections=sections, fields=FIELDS, rows=ROWS, a_foot=A_FOOT, today=today,
        owner=who().owner,
    )  # fmt: skip


def edition(kind: str) -> Answer:
    """A new edition, prefilled with the newest."""
    if not who().owner:
        raise NotAllowed(say("Only an owner may change this."))
    if request.method != "POST":
        newest = acts.rate_book(parts(), who())[kind]
        values = filled(kind, newest[0].document if newest else {"figures": {}} if kind == "product" else {})
        return _form(kind, values | {"first_day": parts().today().isoformat()}, {})
    values = typed(kind, request.form) | {"first_day": request.form.get("first_day", "").strip()}
    try:
        entered = _day(values["first_day"]), document(kind, values), request.form.get("once_key", "")
        if kind == "rates" and not was_seen(entered[1]):
            return _form(kind, values, {}, foreseen(entered[1]))
        number = acts.enter(parts(), who(), kind, *entered)
    except BadInput as bad:
        return _form(kind, values, _capital(beside(bad))), 422
    flash(_("%(kind)s, edition %(number)s is entered.", kind=KINDS[kind], number=number))
    return redirect(url_for("office.rate_book"))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        says = say("“{read}” is no day; write it as 2027-03-09.", read=text[:20])
        raise BadInput([Problem("first_day", says)]) from None


def _capital(errors: dict[str, list[str]]) -> dict[str, list[str]]:
    """The engine says its sentences in the middle of a line; beside a field they begin one."""
    return {at: [says[:1].upper() + says[1:] for says in sentences] for at, sentences in errors.items()}


def _form(
    kind: str, values: dict[str, str], errors: dict[str, list[str]], ahead: Foreseen | None = None
) -> str:
    known: Any = request.form.get("once_key") or fresh_once_key()
    problems = [(at, f"{label_of(kind, at)}: {says}") for at, says in summary(errors)]
    return page(
        "office/edition.html", kind=kind, name=KINDS[kind], fields=FIELDS[kind], rows=rows_of(kind),
        values=values, counts=row_counts(kind, values), errors=errors, problems=problems, once=known,
        foreseen=ahead,
    )  # fmt: skip
