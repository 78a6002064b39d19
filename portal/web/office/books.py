"""The books: a trial balance on a day, the ledger by account, tax owed, and months to close."""

from __future__ import annotations

from datetime import date

from flask import abort, flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import books as acts
from portal.acts import closing
from portal.core.errors import BadInput, Overtaken, Problem, Refused
from portal.core.money.books import KINDS
from portal.core.words import say
from portal.web.office.book_words import account_words, event_words
from portal.web.security import parts, who
from portal.web.shared.pages import beside, page, reads, told

Answer = str | Response | tuple[str, int]
NAMES = {"account_words": account_words, "event_words": event_words}


def asked_day(name: str) -> date | None:
    """A day asked for in the address; None where there is none. Raises `BadInput`."""
    typed = request.args.get(name, "").strip()
    if not typed:
        return None
    day = _day_or_none(typed)
    if day is None:
        says = say("“{typed}” is no day; write it as 2027-03-09.", typed=typed[:20])
        raise BadInput([Problem(name, says)])
    return day


def _day_or_none(typed: str) -> date | None:
    try:
        return date.fromisoformat(typed)
    except ValueError:
        return None


def typed_span() -> dict[str, str]:
    """The span of days as it was typed."""
    return {name: request.args.get(name, "").strip() for name in ("since", "until")}


def books() -> Answer:
    """The trial balance on a day, and the months."""
    errors: dict[str, list[str]] = {}
    try:
        found = acts.look(parts(), who(), asked_day("on"))
    except BadInput as bad:
        errors, found = beside(bad), acts.look(parts(), who())
    shown = page(
        "office/books.html",
        found=found,
        errors=errors,
        kinds=KINDS,
        typed=request.args.get("on", ""),
        **NAMES,
    )
    return (shown, 422) if errors else shown


def account() -> Answer:
    """What was posted to an account; without one named, the way to all of them."""
    if not request.args.get("name"):
        return redirect(url_for("office.books"))
    name, offset = request.args.get("name", ""), request.args.get("from", "0")
    if not offset.isdecimal() or len(offset) > 7:
        abort(404)
    errors: dict[str, list[str]] = {}
    try:
        days = asked_day("since"), asked_day("until")
        found = acts.account(parts(), who(), name, *days, int(offset))
    except BadInput as bad:
        errors, found = beside(bad), acts.account(parts(), who(), name)
    shown = page(
        "office/account.html", found=found, errors=errors, typed=typed_span(), offset=int(offset),
        size=acts.PAGE, **NAMES,
    )  # fmt: skip
    return (shown, 422) if errors else shown


def entry(seq: int) -> str:
    """One entry with its postings."""
    return page("office/entry.html", rows=acts.entry(parts(), who(), seq), **NAMES)


def tax_owed() -> Answer:
    """Tax owed by jurisdiction in a span of days."""
    errors: dict[str, list[str]] = {}
    try:
        since, until, rows = acts.tax_owed(parts(), who(), asked_day("since"), asked_day("until"))
    except BadInput as bad:
        errors = beside(bad)
        since, until, rows = acts.tax_owed(parts(), who())
    shown = page(
        "office/tax_owed.html",
        since=since,
        until=until,
        rows=rows,
        errors=errors,
        typed=typed_span(),
        **NAMES,
    )
    return (shown, 422) if errors else shown


def month() -> str:
    """The dry look at the month that is closed next."""
    return _month()


def _month(refusal: str = "") -> str:
    found = closing.look(parts(), who())
    return page("office/month.html", found=found, owner=who().owner, refusal=refusal, kinds=KINDS, **NAMES)


def close_month() -> Answer:
    """Close it, as it was looked at."""
    through = _day_or_none(request.form.get("through", "")) or date.min  # which is no month's last day
    try:
        closing.close_month(parts(), who(), through, request.form.get("mark", ""))
    except Overtaken:
        said = _(
            "Something was posted in the meantime, and nothing was closed. Look at the month as it is now."
        )
        return _month(said), 409
    except Refused as refused:
        return _month(told(refused.says)), 422
    flash(_("Closed through %(day)s.", day=reads().day(through)))
    return redirect(url_for("office.books"), 303)
