"""What each paper is made of beside its document: its sheet number, its drawings, its sums."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from portal.core.documents import (
    InvoiceDocument,
    PackageDocument,
    QuoteDocument,
    StatementDocument,
    TreatedWall,
    TreatmentDocument,
    WarrantyDocument,
)
from portal.core.documents.load import LoadSheet
from portal.core.documents.notice import notice_inches
from portal.core.pricing.explained import explained
from portal.core.pricing.offer import LABELS
from portal.core.pricing.waiting import Cost, Days, cost_of_waiting
from portal.core.treatment.equipment import WORDS as EQUIPMENT
from portal.drawing import Worded, band_svg, days_svg, marks_of
from portal.formats import Formats
from portal.papers.drawn import DrawnPlan, plans_of
from portal.papers.further import pages_of
from portal.papers.qr import qr_svg
from portal.papers.recipe import recipe

Translate = Callable[[str], str]
Values = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A kind of paper. `number` is its place among the five sheets of a lot; an `a` follows its sheet."""

    number: str
    values: Callable[[Any, Mapping[str, Any], Formats], Values]


def _plans(
    house: dict[str, Any], _: Translate, width: int, found: Mapping[str, str] | None = None
) -> tuple[DrawnPlan, ...]:
    words = {
        "title": _("Plan of {name}, drawn to scale. The table has its walls, their feet and their siding."),
        "desc": _(
            "Walls by siding: open a single line, wrapped a dashed line outside, sided a hatch outside."
        ),
        "gap": _("gap"),
    }
    return plans_of(house, words, width, found)


def _hours(estimate: Mapping[str, Any]) -> Decimal:
    return Decimal(estimate["minutes"]["elapsed"]) / 60


def _as_found(
    document: TreatmentDocument | WarrantyDocument, formats: Formats, width: int
) -> tuple[DrawnPlan, ...]:
    """The plans of a treated house, walls as they were found; none of a warranty from before it kept them."""
    found = {wall.key: wall.found for wall in document.walls}
    return _plans(document.house, formats.translate, width, found) if document.house else ()


def _quote(document: QuoteDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    band = _band(document.estimate, formats)
    return {
        # Beside a band the plan is smaller, so that both stand on the first page.
        "plans": _plans(document.house, formats.translate, 470 if band else 580),
        "hours": _hours(document.estimate),
        "waiting": _waiting(document, formats),
        "band": band,
        "sided": cost_of_waiting(document),
    }


def _band(estimate: Mapping[str, Any], formats: Formats) -> Markup | None:
    """The band of an estimate, without prices: the one that holds stands in the offer. None if measured."""
    if estimate["basis"] != "estimated":
        return None
    _ = formats.translate
    marks = marks_of(estimate, lambda feet: _("{feet} ft").format(feet=formats.number(feet)))
    title = _("Band of the estimate")
    desc = _("Feet to scale, from nothing to the most. The words above say the same.")
    return Markup(band_svg(*marks, title=title, desc=desc, width=660, for_paper=True))


@dataclass(frozen=True, slots=True)
class Waiting:
    """The price of waiting, as seen on the day the quote was sent."""

    days: Days
    cost: Cost
    svg: Markup


def _waiting(quote: QuoteDocument, formats: Formats) -> Waiting | None:
    """None where no day was given, or nothing can be added."""
    if quote.siding_starts is None or all(wall.status == "sided" for wall in quote.walls):
        return None
    days = Days(quote.sent_on, quote.siding_starts, quote.insulation_starts, quote.days_off)
    cost = cost_of_waiting(quote)
    _, day = formats.translate, formats.weekday
    worded = Worded(
        today=_("Sent, {day}").format(day=day(days.today)),
        last_good=_("Last good day, {day}").format(day=day(days.last_good)),
        siding=_("Siding starts, {day}").format(day=day(days.siding_starts)),
        insulation=_("Insulation, {day}").format(day=day(days.insulation_starts)),
        price_now=formats.money(cost.now, cost.currency),
        price_after=formats.money(cost.after, cost.currency),
    )
    told = {
        "title": _("Line of days"),
        "desc": _("The days that count, to scale. The words below say the same."),
    }
    return Waiting(days, cost, Markup(days_svg(days, worded, width=660, for_paper=True, **told)))


def _acceptance(document: Any, beside: Mapping[str, Any], formats: Formats) -> Values:
    yeses = [yes | {"at": datetime.fromisoformat(yes["at"])} for yes in beside.get("yeses", ())]
    return {"accepted_at": datetime.fromisoformat(beside["accepted_at"]), "yeses": yeses}


def _field_sheet(document: Any, beside: Mapping[str, Any], formats: Formats) -> Values:
    return {
        "plans": _plans(document.house, formats.translate, 400),
        "hours": _hours(document.estimate),
        "batches": recipe(document.estimate["product"]["batches"]),
    }


def _record(document: TreatmentDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    return {"plans": _as_found(document, formats, 440), "pages": pages_of(beside, formats.translate)}


def _of_record(document: TreatmentDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    """What is made from the record without its drawings: a notice, a statement, the figures of a service."""
    walls, posted = summary(document.walls), beside.get("posted")
    title = formats.translate("QR code that leads to this house’s warranty")
    return {
        "posted": posted, "qr": qr_svg(posted["code"], title) if posted else None,
        "pages": pages_of(beside, formats.translate), "walls": walls,
        "size": notice_inches(document.notice_size),
    }  # fmt: skip


def _invoice(document: InvoiceDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    of_walls = [line.key for line in document.differences if line.key not in (*LABELS, "office")]
    of_work = document.kind in ("treatment", "package") and document.charge is None
    return {"of_walls": of_walls, "steps": [explained(part) if of_work else () for part in document.parts]}


def _plain(document: Any, beside: Mapping[str, Any], formats: Formats) -> Values:
    return {}


def _certificate(document: WarrantyDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    _ = formats.translate
    code = qr_svg(beside["code"], _("QR code that leads to this warranty"))
    return {"qr": code, "walls": summary(document.walls), "plans": _as_found(document, formats, 300)}


def _house_plan(document: WarrantyDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    return {"plans": _as_found(document, formats, 620)}


@dataclass(frozen=True, slots=True)
class WallsAlike:
    """Walls of one story that were found and treated alike. `feet` is their sum."""

    story: str
    labels: tuple[str, ...]
    found: str
    coats: int
    feet: Decimal


def summary(walls: Iterable[TreatedWall]) -> tuple[WallsAlike, ...]:
    """The walls in as few lines as say the same, in the order they were walked."""
    alike: dict[tuple[str, str, int], list[TreatedWall]] = {}
    for wall in walls:
        alike.setdefault((wall.story, wall.found, wall.coats), []).append(wall)
    return tuple(
        WallsAlike(story, tuple(w.label for w in kind), found, coats, sum((w.feet for w in kind), Decimal(0)))
        for (story, found, coats), kind in alike.items()
    )


def _package(document: PackageDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    return {}


def _load(document: LoadSheet, beside: Mapping[str, Any], formats: Formats) -> Values:
    return {"words": EQUIPMENT}


def _statement(document: StatementDocument, beside: Mapping[str, Any], formats: Formats) -> Values:
    _ = formats.translate
    events = {
        "invoiced": _("Invoice"), "received": _("Payment"), "applied": _("Credit used"),
        "credited": _("Credit note"), "bounced": _("Bounced"), "refunded": _("Refund"),
        "written off": _("Written off"), "retainage released": _("Retainage released"),
        "prompt payment": _("Paid soon, let off"),
    }  # fmt: skip
    buckets = (
        _("Not yet due"), _("1 to 30 days late"), _("31 to 60"), _("61 to 90"), _("over 90"),
    )  # fmt: skip
    return {"events": events, "buckets": buckets}


SHEETS = {
    "statement": Sheet("4s", _statement),
    "load-sheet": Sheet("3e", _load),
    "package": Sheet("2p", _package),
    "quote": Sheet("2", _quote),
    "acceptance": Sheet("2a", _acceptance),
    "field-sheet": Sheet("3", _field_sheet),
    "treatment-record": Sheet("3a", _record),
    "posted-notice": Sheet("3b", _of_record),
    "building-statement": Sheet("3c", _of_record),
    "service-figures": Sheet("3d", _of_record),
    "invoice": Sheet("4", _invoice),
    "credit-note": Sheet("4a", _plain),
    "retainage": Sheet("4b", _plain),
    "certificate": Sheet("5", _certificate),
    "closing-packet": Sheet("5a", _plain),
    "house-plan": Sheet("5b", _house_plan),
    "care-sheet": Sheet("5c", _plain),
}
