"""Tax tables: whose they are, since when they hold, and for which places."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import tax_tables as acts
from portal.acts.tax_tables import PlaceSet
from portal.core.errors import BadInput, NotAllowed, Problem
from portal.core.words import say
from portal.web.office import tax_values
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary

Answer = str | Response | tuple[str, int]


def tables() -> str:
    """Every jurisdiction's table, and where each holds."""
    return _page({}, {})


def _page(values: dict[str, str], errors: dict[str, list[str]]) -> str:
    found = acts.tax_tables(parts(), who())
    return page(
        "office/tax.html", tax=found, kinds=tax_values.KINDS_SAID, roundings=dict(tax_values.ROUNDINGS),
        apart=dict(tax_values.PARTS), today=parts().today(), owner=who().owner, values=values, errors=errors,
        problems=[(at, f"{_place_label(at)}: {says}") for at, says in summary(errors)],
    )  # fmt: skip


def table() -> Answer:
    """A new edition, prefilled with the newest of the jurisdiction that is asked for."""
    if not who().owner:
        raise NotAllowed(say("Only an owner may change this."))
    today = parts().today().isoformat()
    if request.method != "POST":
        known = acts.tax_tables(parts(), who()).jurisdictions
        asked = [one for one in known if one.id == request.args.get("of")]
        return _form(tax_values.filled(asked[0].editions[0].table, today) if asked
                     else tax_values.blank(today), {})  # fmt: skip
    values = tax_values.typed(request.form)
    try:
        number = acts.enter_table(
            parts(), who(), values["jurisdiction"], _day(values["first_day"]), tax_values.document(values),
            request.form.get("once_key", ""),
        )  # fmt: skip
    except BadInput as bad:
        return _form(values, _capital(beside(bad))), 422
    flash(_("%(name)s, edition %(number)s is entered.", name=values["jurisdiction"], number=number))
    return redirect(url_for("office.tax"))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        says = say("“{read}” is no day; write it as 2027-03-09.", read=text[:20])
        raise BadInput([Problem("first_day", says)]) from None


def _capital(errors: dict[str, list[str]]) -> dict[str, list[str]]:
    return {at: [says[:1].upper() + says[1:] for says in sentences] for at, sentences in errors.items()}


def _form(values: dict[str, Any], errors: dict[str, list[str]]) -> str:
    once: str = request.form.get("once_key") or fresh_once_key()
    return page(
        "office/tax_table.html", values=values, errors=errors, kinds=tuple(tax_values.KINDS_SAID.items()),
        problems=[(at, f"{tax_values.label_of(at)}: {says}") for at, says in summary(errors)],
        roundings=tax_values.ROUNDINGS, apart=tax_values.PARTS, count=tax_values.row_count(values), once=once,
    )  # fmt: skip


def _place_label(at: str) -> str:
    named = {
        "kind": _("For"), "jurisdiction": _("Whose table"), "town": _("Town"), "state": _("State"),
        "subdivision": _("Subdivision"),
    }  # fmt: skip
    return str(named[at]) if at in named else at


def set_place() -> Answer:
    """Have a table hold for a place."""
    keys = ("kind", "town", "state", "subdivision", "jurisdiction")
    values = {key: request.form.get(key, "").strip() for key in keys}
    at = PlaceSet(*(values[key] for key in keys[:4]))
    try:
        acts.set_place(parts(), who(), at, values["jurisdiction"])
    except BadInput as bad:
        return _page(values, beside(bad)), 422
    flash(_("It holds there from the next quote on."))
    return redirect(url_for("office.tax"))


def drop_place() -> Answer:
    """Have no table of its own hold for a place."""
    acts.drop_place(parts(), who(), request.form.get("key", ""))
    flash(_("Nothing of its own holds there any more."))
    return redirect(url_for("office.tax"))
