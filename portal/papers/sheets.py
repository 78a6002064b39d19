"""What each paper is made of beside its document: its sheet number, its drawings, its sums."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from portal.core.documents import TreatedWall, TreatmentDocument, WarrantyDocument
from portal.papers.drawn import DrawnPlan, plans_of
from portal.papers.qr import qr_svg
from portal.papers.recipe import recipe

Translate = Callable[[str], str]
Values = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A kind of paper. `number` is its place among the five sheets of a lot; an `a` follows its sheet."""

    number: str
    values: Callable[[Any, Mapping[str, Any], Translate], Values]


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


def _quote(document: Any, beside: Mapping[str, Any], _: Translate) -> Values:
    return {"plans": _plans(document.house, _, 580), "hours": _hours(document.estimate)}


def _acceptance(document: Any, beside: Mapping[str, Any], _: Translate) -> Values:
    return {"accepted_at": datetime.fromisoformat(beside["accepted_at"])}


def _field_sheet(document: Any, beside: Mapping[str, Any], _: Translate) -> Values:
    return {
        "plans": _plans(document.house, _, 400),
        "hours": _hours(document.estimate),
        "batches": recipe(document.estimate["product"]["batches"]),
    }


def _record(document: TreatmentDocument, beside: Mapping[str, Any], _: Translate) -> Values:
    return {"plans": _plans(document.house, _, 440, {wall.key: wall.found for wall in document.walls})}


def _invoice(document: Any, beside: Mapping[str, Any], _: Translate) -> Values:
    return {}


def _certificate(document: WarrantyDocument, beside: Mapping[str, Any], _: Translate) -> Values:
    code = qr_svg(beside["link"], _("QR code that leads to this warranty"))
    return {"qr": code, "walls": summary(document.walls)}


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


SHEETS = {
    "quote": Sheet("2", _quote),
    "acceptance": Sheet("2a", _acceptance),
    "field-sheet": Sheet("3", _field_sheet),
    "treatment-record": Sheet("3a", _record),
    "invoice": Sheet("4", _invoice),
    "certificate": Sheet("5", _certificate),
}
