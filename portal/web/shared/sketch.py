"""Plans on a page: of a whole house, and as much of one being typed as can be drawn already."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import takewhile
from typing import Any

from flask_babel import gettext
from markupsafe import Markup

from portal.acts.estimating import story_name
from portal.core.documents import WallAsQuoted
from portal.core.errors import BadInput, Problem
from portal.core.money.amount import rounded
from portal.core.numbers import as_number
from portal.core.takeoff.bearings import NAMED
from portal.core.takeoff.house import STATUSES, Level, MeasuredInterior, Survey, Walk, WalkedWall
from portal.core.takeoff.lengths import length_or_fault
from portal.core.takeoff.outlines import read_outline
from portal.core.takeoff.plan import Plan, plan
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import stretches
from portal.core.words import Said
from portal.drawing import plan_svg

WIDE, NARROW = 720, 340
#: What is not known yet has no place on the sheet, so that no hatch is drawn that nobody entered.
UNKNOWN = {"by": "length", "open": "rest"}


@dataclass(frozen=True, slots=True)
class Drawn:
    """A level's drawing; `wide` and `narrow` are None where the outline has no shape."""

    name: str
    repeat: int
    wide: Markup | None
    narrow: Markup | None


def drawings(house: dict[str, Any]) -> tuple[Drawn, ...]:
    """Every level of a house that the engine took, drawn once as long as the process remembers."""
    # The words of a drawing say which catalog it was drawn by; the same language may have two.
    return _drawn(json.dumps(house), _words())


def _words() -> tuple[str, str, str]:
    outside = gettext("Exterior walls to scale, each drawn by what is on its outside.")
    return gettext("Plan of %(story)s", story="%(story)s"), outside, gettext("gap")


@lru_cache(maxsize=512)
def _drawn(house: str, _words: tuple[str, str, str]) -> tuple[Drawn, ...]:
    levels = read_house(json.loads(house)).levels
    return tuple(_of_level(level, number) for number, level in enumerate(levels, 1))


def walls_of(house: dict[str, Any]) -> tuple[WallAsQuoted, ...]:
    """Every stretch of exterior wall of a house that the engine took."""
    return _walls(json.dumps(house))


@lru_cache(maxsize=512)
def _walls(house: str) -> tuple[WallAsQuoted, ...]:
    return tuple(
        WallAsQuoted(s.key, story_name(s), str(s.label), rounded(s.length, 2), str(s.length), s.status)
        for s in stretches(read_house(json.loads(house)))
    )


def _of_level(level: Level, number: int) -> Drawn:
    found = plan(level)
    if found is None:
        return Drawn(level.name, level.repeat, None, None)
    # A gap that was small enough to pass needs no hand on it any more; the notes tell of it.
    found = replace(found, gap=None)
    wide, narrow = (svg(found, level.name, f"plan-{number}-{width}", width) for width in (WIDE, NARROW))
    return Drawn(level.name, level.repeat, wide, narrow)


def svg(found: Plan, name: str, ident: str, width: int) -> Markup:
    """A plan as markup: all text in it is escaped where it is drawn."""
    title, desc, gap_word = _words()
    title = title.replace("%(story)s", name)
    return Markup(plan_svg(found, title=title, desc=desc, width=width, ident=ident, gap_word=gap_word))


def sketch(level: dict[str, Any], number: int) -> Markup | None:
    """As much of a level being typed as has a shape: rows that cannot be read yet are left out."""
    name = level.get("name") or gettext("this story")
    for attempt in (level, _unsided(level)):
        try:
            found = _planned(attempt)
        except BadInput:
            continue
        return svg(found, name, f"sketch-{number}", NARROW) if found else None
    found = _as_far_as_it_goes(level["outline"], level.get("siding"))
    return svg(found, name, f"sketch-{number}", NARROW) if found else None


def _planned(level: dict[str, Any]) -> Plan | None:
    whole = level | {"name": "-", "repeat": 1, "interior": {"by": "measured", "length": 0}}
    return plan(read_house({"name": "-", "levels": [whole]}).levels[0])


def _unsided(level: dict[str, Any]) -> dict[str, Any]:
    outline = level["outline"]
    rows = [{key: row[key] for key in row if key != "siding"} for row in outline.get("walls", ())]
    return level | {"siding": UNKNOWN, "outline": outline | {"walls": rows} if rows else outline}


def _as_far_as_it_goes(outline: dict[str, Any], siding: Any) -> Plan | None:
    status = siding if siding in STATUSES else None
    if outline["by"] == "rectangles":
        whole = [row for row in outline["rectangles"] if _reads({"by": "rectangles", "rectangles": [row]})]
        level = {"outline": outline | {"rectangles": whole}, "siding": status or UNKNOWN}
        return _planned(level) if whole else None
    if outline["by"] == "walk":
        walls = _walked(outline["walls"])
        return _open_walk(walls, status) if walls else None
    return None


def _reads(outline: dict[str, Any]) -> bool:
    problems: list[Problem] = []
    return read_outline(outline, "", problems) is not None


def _walked(rows: list[dict[str, Any]]) -> list[WalkedWall]:
    """The walls up to the first that cannot be read yet."""
    return list(takewhile(lambda wall: wall is not None, map(_wall, rows)))  # type: ignore[arg-type]


def _wall(row: dict[str, Any]) -> WalkedWall | None:
    length, heading = length_or_fault(row.get("length", "")), _heading(row.get("heading", ""))
    siding = row.get("siding")
    if isinstance(length, Said) or heading is None:
        return None
    return WalkedWall(heading, length, siding if siding in STATUSES else None)


def _heading(typed: str) -> Fraction | None:
    degrees = NAMED.get(typed.strip().upper(), as_number(typed))
    return degrees % 360 if isinstance(degrees, Fraction) and 0 <= degrees <= 360 else None


def _open_walk(walls: list[WalkedWall], siding: str | None) -> Plan | None:
    """A walk drawn as it is, the line back to its start included, however far that is."""
    foot = Fraction(1)
    survey = Survey(foot, foot, foot, closing_gap=foot)
    found = plan(Level("-", Walk(tuple(walls)), MeasuredInterior(foot), siding, 1, survey))
    if found is None or found.gap is None:
        return found
    x1, y1, x2, y2 = found.gap
    return replace(found, gap=None) if (x1, y1) == (x2, y2) else found
