"""Margin, for the office alone: of a lot's quote, and in sums by builder and by subdivision."""

from __future__ import annotations

from typing import Any

from flask import request
from flask_babel import lazy_gettext as _

from portal.acts import margins
from portal.acts.sheet import LotSheet, RevisionView
from portal.core.documents.cost import share_left
from portal.core.errors import BadInput
from portal.web.office.books import asked_day, typed_span
from portal.web.security import parts, who
from portal.web.shared.pages import beside, page

PARTS = {
    "product": _("Containers, at cost"), "hours": _("Crew hours on site"),
    "travel": _("The way"), "other": _("Dye, film and the like"),
}  # fmt: skip
#: What is not entered, in the middle of a sentence.
LACKS = {
    "product": _("what the product’s containers cost"), "crew_hour": _("what an hour of one sprayer costs"),
    "mile": _("what a mile costs"), "job": _("what dye, film and the like cost a job"),
    "miles": _("how many miles away the lot is"),
}  # fmt: skip
WAYS = ("builder", "subdivision")


def margin() -> str | tuple[str, int]:
    """Planned margin of what was sent and accepted, planned against actual of what was treated."""
    by = request.args.get("by", "")
    by = by if by in WAYS else WAYS[0]
    errors: dict[str, list[str]] = {}
    try:
        found = margins.look(parts(), who(), asked_day("since"), asked_day("until"), by)
    except BadInput as bad:
        errors, found = beside(bad), margins.look(parts(), who(), by=by)
    typed = typed_span()
    shown = page("office/margin.html", found=found, errors=errors, typed=typed, owner=who().owner)
    return (shown, 422) if errors else shown


def of_lot(lot: LotSheet, sheet: str, quote: RevisionView | None) -> dict[str, Any] | None:
    """What the sheet of a quote, or of a treatment, says of its margin."""
    if sheet not in ("quote", "treatment"):
        return None
    shown = lot.accepted if sheet == "treatment" else quote
    if shown is None:
        return None
    found = margins.of_lot(parts(), who(), lot.id, shown.number)
    if found is None or (sheet == "treatment" and found.treated is None):
        return None
    return {"of": found, "parts": PARTS, "lacks": LACKS, "owner": who().owner, "share": share_left}
