"""A lot's sheet as pages: tabs, title block, plan, figures and the tables of its five sheets.

Both rooms use it: `lot_page` gives everything that templates/shared/lot.html needs, for a viewer who is a
builder or the office, with that room's own addresses.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask_babel import gettext as _

from portal.acts import papers
from portal.acts.lot_money import money_of
from portal.acts.on_site import on_site
from portal.acts.papers import PaperRow
from portal.acts.sheet import HistoryLine, LotSheet, RevisionView
from portal.core.errors import NotFound
from portal.core.history import VERBS
from portal.core.journey import SHEETS
from portal.core.pricing.waiting import cost_of_waiting
from portal.web.security import parts, who
from portal.web.shared import figures, further, rows, sketch, words
from portal.web.shared.entry_words import field_name
from portal.web.shared.pages import page, reads, told
from portal.web.shared.revised import revised
from portal.web.shared.waiting import waiting

#: (lot id, sheet) -> address; (lot id, kind, revision or None) -> address.
SheetAddress = Callable[[str, str], str]
PaperAddress = Callable[[str, str, int | None], str]


#: What followed from something else: a sentence of its own, not something a person did.
HAPPENED = [
    VERBS[key]
    for key in (
        "superseded",
        "reminded",
        "lapsed",
        "entered differently",
        "invoiced",
        "chased",
        "held",
        "in force",
        "held with the house",
        "expired",
    )
]


def sheet_reached(lot: LotSheet) -> str:
    """The sheet a lot has come to: the first that is not done, or the last."""
    open_sheets = [name for name, state in zip(SHEETS, lot.sheets, strict=True) if state != "done"]
    return open_sheets[0] if open_sheets else SHEETS[-1]


def tabs(lot: LotSheet, shown: str, address: SheetAddress) -> list[dict[str, Any]]:
    """The five sheet tabs; the one that is shown is joined to the sheet."""
    return [
        {"number": number, "label": words.SHEETS[name], "url": address(lot.id, name), "state": state,
         "here": name == shown}
        for number, (name, state) in enumerate(zip(SHEETS, lot.sheets, strict=True), 1)
    ]  # fmt: skip


def revision_shown(lot: LotSheet, number: int | None) -> RevisionView | None:
    """The revision to show: the one asked for, else the accepted, else the newest."""
    if number is None:
        return lot.accepted or lot.revision
    found = [revision for revision in lot.revisions if revision.number == number]
    if not found:
        raise NotFound("quote", number)
    return found[0]


def title_rows(lot: LotSheet, revision: RevisionView | None) -> list[tuple[Any, Any]]:
    """The title block: lot, plan, builder, revision, the day it was entered."""
    place = lot.place
    name = ", ".join(filter(None, (place.lot, place.subdivision)))
    stories = sum(int(level["repeat"]) for level in lot.takeoff.estimate["levels"])
    return [
        (_("Lot"), name),
        (_("House"), f"{place.address}, {place.town}"),
        (_("Owner") if lot.is_owners else _("Builder"), lot.company),
        (_("Stories"), stories),
        (_("Revision"), revision.number if revision else _("none yet")),
        (_("Takeoff of"), reads().day(lot.takeoff.entered_at.astimezone(parts().zone).date())),
    ]


def history_lines(lines: tuple[HistoryLine, ...]) -> list[dict[str, str]]:
    """Who did what, newest first, as the history macro shows it."""
    return [_history_line(line) for line in lines]


def _history_line(line: HistoryLine) -> dict[str, str]:
    what = told(line.verb) + (f": {line.subject}" if line.subject else "")
    when = reads().moment(line.at)
    if line.verb in HAPPENED:
        return {"when": when, "who": "", "what": what[:1].upper() + what[1:]}
    return {"when": when, "who": line.by, "what": what}


def paper_links(found: tuple[PaperRow, ...], lot_id: str, address: PaperAddress) -> list[dict[str, str]]:
    """A lot's papers with their addresses, as the papers macro shows them."""
    return [
        {
            "title": f"{words.PAPERS[paper.kind]} {paper.name}",
            "url": address(lot_id, paper.kind, paper.revision),
            "about": f"{reads().day(paper.day)}, {_('PDF')}" if paper.day else _("PDF"),
        }
        for paper in found
    ]


def house_shown(lot: LotSheet, shown: str, quote: RevisionView | None) -> dict[str, Any]:
    """The house a sheet draws: the takeoff as it stands, behind it the one the quote was made from."""
    return quote.document.house if shown != "takeoff" and quote and quote.document else lot.takeoff.house


def figures_shown(lot: LotSheet, shown: str, quote: RevisionView | None, viewer: str) -> list[dict[str, Any]]:
    """The four figures of a takeoff or a quote."""
    if shown == "takeoff":
        return figures.worked(lot, viewer)
    if shown == "quote" and quote and quote.document:
        return figures.offered(quote.document, viewer)
    return []


def lot_page(
    template: str, lot: LotSheet, shown: str, viewer: str, address: SheetAddress, paper_address: PaperAddress,
    revision: int | None = None, **more: Any,
) -> str:  # fmt: skip
    """Render a sheet of a lot. `shown` is one of the five; `viewer` is builder or office."""
    quote = revision_shown(lot, revision)
    house = house_shown(lot, shown, quote)
    walls = sketch.walls_of(house)
    values: dict[str, Any] = {
        "lot": lot, "shown": shown, "viewer": viewer, "quote": quote, "tabs": tabs(lot, shown, address),
        "title_rows": title_rows(lot, quote), "sheet_number": SHEETS.index(shown) + 1, "rows": rows,
        "drawings": sketch.drawings(house), "walls": walls, "waiting": waiting(lot, shown, quote, walls),
        "figures": figures_shown(lot, shown, quote, viewer), "history_lines": history_lines(lot.history),
        "papers": paper_links(papers.papers_on(lot, who()), lot.id, paper_address),
        "site": on_site(parts(), who(), lot.id) if shown in ("treatment", "invoice") else None,
        "field_name": field_name,
        "money": money_of(parts(), who(), lot.id) if shown == "invoice" else None,
        "address": address, "further": further, "revised": revised(lot, shown, quote),
        "sided": cost_of_waiting(quote.document) if shown == "quote" and quote and quote.document else None,
    }  # fmt: skip
    return page(template, **values | more)
