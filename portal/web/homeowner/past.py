"""What a homeowner sees of the house and its past: the plan as it was found, and what happened since."""

from __future__ import annotations

from typing import Any

from flask_babel import lazy_gettext as _

from portal.acts.covering import WarrantyPage
from portal.web.shared.pages import reads
from portal.web.shared.sketch import Drawn, drawings_found

#: In lines of the table of walls: how high a story's plan prints, and how many lines a size of type holds.
PLAN, SIZES, SMALLEST = 9, ((18, ""), (28, "page--long")), "page--longest"
#: A line of the timeline, by what happened.
HAPPENED = {
    "treated": _("The house was treated."),
    "held": _("The warranty record was made, held until the office brings it into force."),
    "in force": _("The warranty came into force."),
    "amended": _("The treatment record was amended."),
    "link replaced": _("The link of the certificate was revoked; a new certificate carries a new one."),
    "handed on": _("It was handed on to the next owner of the house."),
    "expired": _("The warranty expired."),
    "trouble reported": _("Trouble was reported."),
    "treated again": _("It was treated again under this warranty:"),
    "addition treated": _("An addition to the house was treated; it has a warranty of its own:"),
    "trouble closed": _("The report of trouble was closed."),
    "renewed": _("The warranty was renewed: it runs on into its next term."),
    "renewal withdrawn": _("The renewal was not paid after all: the term before it holds."),
    "void": _("The warranty was made void."),
}


def as_found(warranty: WarrantyPage) -> tuple[Drawn, ...]:
    """The plans of the house, walls as they were found; none of a record from before it kept the house."""
    document = warranty.document
    if not document.house:
        return ()
    return drawings_found(document.house, {wall.key: wall.found for wall in document.walls})


def how_long(warranty: WarrantyPage) -> str:
    """The class of a page that prints smaller, as `print.css` has it, so that a record stays on one sheet.

    Plans stand two in a row beside the walls, each as high as some of them; the past stands in two columns,
    the terms in three.
    Measured in Chromium on Letter, the shorter of the two papers.
    """
    document = warranty.document
    beside = max(len(document.walls), PLAN * -(-len(as_found(warranty)) // 2))
    terms = [*document.terms.covers, *document.terms.voids, *document.terms.narrows, document.terms.ask]
    lines = beside + len(warranty.timeline) / 2 + sum(map(len, terms)) / 200 + 2 * len(warranty.amended)
    return next((name for most, name in SIZES if lines <= most), SMALLEST)


def timeline(warranty: WarrantyPage) -> list[dict[str, Any]]:
    """Lines for the page, oldest first."""
    return [
        {
            "when": reads().moment(line.at),
            "who": "",
            "what": f"{HAPPENED[line.what]} {line.reason or line.number}".strip(),
        }
        for line in warranty.timeline
    ]
