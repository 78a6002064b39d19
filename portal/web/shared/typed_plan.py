"""The plan of a story that is being typed: as much of it as has a shape, sided as far as that is said."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import takewhile
from typing import Any

from portal.core.errors import BadInput, Problem
from portal.core.takeoff.bearings import heading_of
from portal.core.takeoff.house import STATUSES, Level, MeasuredInterior, Rectangle, Survey, Walk, WalkedWall
from portal.core.takeoff.lengths import length_or_fault
from portal.core.takeoff.outlines import read_outline
from portal.core.takeoff.plan import Plan, Wall, plan
from portal.core.takeoff.reading import read_house
from portal.core.words import Said

#: What is not known yet has no place on the sheet, so that no hatch is drawn that nobody entered.
UNKNOWN = {"by": "length", "open": "rest"}


def typed_plan(level: dict[str, Any]) -> Plan | None:
    """As much of a level being typed as has a shape: rows that cannot be read yet are left out."""
    for attempt in (level, _unsided(level)):
        try:
            found = _planned(attempt)
        except BadInput:
            continue
        return found and _sided_so_far(found, level.get("siding"))
    found = _as_far_as_it_goes(level["outline"], level.get("siding"))
    return found and _sided_so_far(found, level.get("siding"))


def _planned(level: dict[str, Any]) -> Plan | None:
    whole = level | {"name": "-", "repeat": 1, "interior": {"by": "measured", "length": 0}}
    return plan(read_house({"name": "-", "levels": [whole]}).levels[0])


def _unsided(level: dict[str, Any]) -> dict[str, Any]:
    outline = level["outline"]
    rows = [{key: row[key] for key in row if key != "siding"} for row in outline.get("walls", ())]
    return level | {"siding": UNKNOWN, "outline": outline | {"walls": rows} if rows else outline}


def _sided_so_far(found: Plan, siding: Any) -> Plan:
    """The faces that are chosen, where others are not yet."""
    if not isinstance(siding, dict) or siding.get("by") != "face":
        return found

    def sided(wall: Wall) -> Wall:
        chosen = siding.get(wall.face)
        return replace(wall, status=chosen) if wall.status is None and chosen in STATUSES else wall

    return replace(found, rings=tuple(tuple(sided(wall) for wall in ring) for ring in found.rings))


def _as_far_as_it_goes(outline: dict[str, Any], siding: Any) -> Plan | None:
    status = siding if siding in STATUSES else None
    if outline["by"] == "rectangles":
        whole = [row for row in outline["rectangles"] if rectangle_of(row)]
        level = {"outline": outline | {"rectangles": whole}, "siding": status or UNKNOWN}
        return _planned(level) if whole else None
    if outline["by"] == "walk":
        walls = walked(outline["walls"])
        return _open_walk(walls, status) if walls else None
    return None


def rectangle_of(row: dict[str, Any]) -> Rectangle | None:
    """The rectangle of a row; None where it cannot be read yet."""
    problems: list[Problem] = []
    read = read_outline({"by": "rectangles", "rectangles": [row]}, "", problems)
    outline = read[0] if read else None
    return getattr(outline, "rectangles", (None,))[0]


def walked(rows: list[dict[str, Any]]) -> list[WalkedWall]:
    """The walls up to the first that cannot be read yet."""
    return list(takewhile(lambda wall: wall is not None, map(_wall, rows)))  # type: ignore[arg-type]


def _wall(row: dict[str, Any]) -> WalkedWall | None:
    length, heading = length_or_fault(row.get("length", "")), heading_of(row.get("heading", ""))
    siding = row.get("siding")
    if isinstance(length, Said) or heading is None:
        return None
    return WalkedWall(heading, length, siding if siding in STATUSES else None)


def _open_walk(walls: list[WalkedWall], siding: str | None) -> Plan | None:
    """A walk drawn as it is, the line back to its start included, however far that is."""
    foot = Fraction(1)
    survey = Survey(foot, foot, foot, closing_gap=foot)
    found = plan(Level("-", Walk(tuple(walls)), MeasuredInterior(foot), siding, 1, survey))
    if found is None or found.gap is None:
        return found
    x1, y1, x2, y2 = found.gap
    return replace(found, gap=None) if (x1, y1) == (x2, y2) else found
