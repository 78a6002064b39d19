"""What changed between two revisions of a quote, as a lot's sheet shows it: which two, and their words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from flask import request
from flask_babel import gettext as _
from flask_babel import lazy_gettext

from portal.acts.comparing import Sum, side_by_side
from portal.acts.sheet import LotSheet, RevisionView
from portal.core.documents.reworded import Rewording
from portal.web.security import parts, who
from portal.web.shared import words
from portal.web.shared.pages import reads
from portal.web.shared.revised_rows import line_by_line, prices, totals
from portal.web.shared.rows import Rows

BASES = {"measured": lazy_gettext("measured"), "estimated": lazy_gettext("estimated")}
RELEASES = {
    "paid": lazy_gettext("when the invoice is paid in full"),
    "hand": lazy_gettext("when the office releases it"),
}
#: What reads otherwise, as the page calls it; and how its values are told, where not as they stand.
READS = {
    "remarks": lazy_gettext("Remarks"), "expires_on": lazy_gettext("Holds through"),
    "siding_starts": lazy_gettext("Siding starts"), "insulation_starts": lazy_gettext("Insulation starts"),
    "basis": lazy_gettext("Feet"), "lot": lazy_gettext("Lot"), "place": lazy_gettext("House"),
    "foundation": lazy_gettext("The house stands on"), "builder": lazy_gettext("Builder"),
    "asked_by": lazy_gettext("Asked by"), "office": lazy_gettext("Office"),
    "product": lazy_gettext("Product"), "registration": lazy_gettext("EPA registration number"),
    "active_ingredient": lazy_gettext("Active ingredient"),
    "classification": lazy_gettext("Classification"),
    "dry_minutes": lazy_gettext("Minutes before a second coat"),
    "height_feet": lazy_gettext("Height treated, in feet"), "title": lazy_gettext("Warranty"),
    "years": lazy_gettext("Warranty term, in years"), "ask": lazy_gettext("Whom to ask about the warranty"),
    "notice": lazy_gettext("Notice on the certificate"), "release": lazy_gettext("Warranty in force"),
    "covers": lazy_gettext("The warranty covers"), "voids": lazy_gettext("The warranty is void by"),
    "narrows": lazy_gettext("The warranty is narrowed by"), "kept": lazy_gettext("By its terms"),
    "reason": lazy_gettext("Reason of an extra line"), "billing": lazy_gettext("How it is billed"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Revised:
    """What the sheet shows. `others` are the revisions to compare with instead: number, and whether shown."""

    old: RevisionView
    new: RevisionView
    sum: Sum | None
    prices: Rows
    totals: Rows
    words: Rows
    lines: Rows
    others: tuple[tuple[int, bool], ...]


def revised(lot: LotSheet, shown: str, quote: RevisionView | None) -> Revised | None:
    """The quote shown against the one the address names, else the one before it; None where it is alone."""
    known = [one for one in lot.revisions if one.document is not None]
    if shown != "quote" or quote is None or quote not in known or len(known) < 2:
        return None
    others = [one for one in known if one is not quote]
    wanted = request.args.get("against", type=int)
    other = next((one for one in others if one.number == wanted), None)
    other = other or next((one for one in others if one.number < quote.number), others[-1])
    found = side_by_side(parts(), who(), quote, other)
    old, new = sorted((quote, other), key=lambda one: one.number)
    return Revised(
        old, new, found.sum, prices(found), totals(found), _words(found.words), line_by_line(found),
        tuple((one.number, one is other) for one in sorted(others, key=lambda one: one.number)),
    )  # fmt: skip


def _words(found: tuple[Rewording, ...]) -> Rows:
    """What, before, now."""
    return [[READS[one.what], _word(one.what, one.before), _word(one.what, one.after)] for one in found]


def _word(what: str, value: str | date | None) -> str:
    if value is None:
        return str(_("for the life of the structure") if what == "years" else _("nothing"))
    if isinstance(value, date):
        return reads().day(value)
    known = {"basis": BASES, "foundation": words.FOUNDATIONS, "release": RELEASES}.get(what, {})
    return str(known.get(value, value))
