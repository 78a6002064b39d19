"""Reads an outline out of a document and measures it."""

from __future__ import annotations

from fractions import Fraction

from portal.core.errors import Problem
from portal.core.fields import Problems, choice, entries, items, length, number, usable
from portal.core.jsontext import quoted
from portal.core.takeoff import union, walk
from portal.core.takeoff.bearings import heading_of
from portal.core.takeoff.house import (
    STATUSES,
    ByArea,
    Measured,
    Outline,
    Rectangle,
    Rectangles,
    Survey,
    Walk,
    WalkedWall,
)
from portal.core.takeoff.roots import root
from portal.core.words import Said, say

WAYS = ("rectangles", "walk", "measured", "area")
LARGEST_AREA = 25_000_000

Read = tuple[Outline, Survey]


def read_outline(value: object, at: str, problems: Problems) -> Read | None:
    """The outline at `at` and what it measures; None where something in it is wrong."""
    if not isinstance(value, dict):
        entries(value, at, problems, ())
        return None
    if "by" not in value:
        problems.append(Problem(f"{at}.by", say("{key} is missing", key="by")))
        return None
    way = choice(value["by"], f"{at}.by", problems, WAYS)
    if way is None:
        return None
    return _READERS[way](value, at, problems)


def _read_rectangles(value: object, at: str, problems: Problems) -> Read | None:
    fields = entries(value, at, problems, ("by", "rectangles"))
    if "rectangles" not in fields:
        return None
    before = len(problems)
    listed = items(fields["rectangles"], f"{at}.rectangles", problems, say("rectangles"), most=60)
    read = tuple(_read_rectangle(one, f"{at}.rectangles[{i}]", problems) for i, one in enumerate(listed))
    if not usable(problems, before):
        return None
    return Rectangles(read), union.survey(read)


def _read_rectangle(value: object, at: str, problems: Problems) -> Rectangle:
    fields = entries(value, at, problems, ("west", "south", "width", "depth"))
    return Rectangle(
        length(fields, "west", at, problems, signed=True),
        length(fields, "south", at, problems, signed=True),
        length(fields, "width", at, problems),
        length(fields, "depth", at, problems),
    )


def _read_walk(value: object, at: str, problems: Problems) -> Read | None:
    fields = entries(value, at, problems, ("by", "walls"))
    if "walls" not in fields:
        return None
    before = len(problems)
    listed = items(fields["walls"], f"{at}.walls", problems, say("walls"), least=3, most=200)
    walls = tuple(_read_wall(one, f"{at}.walls[{i}]", problems) for i, one in enumerate(listed))
    if not usable(problems, before):
        return None
    survey = walk.survey(walls)
    if isinstance(survey, Said):
        problems.append(Problem(f"{at}.walls", survey))
        return None
    return Walk(walls), survey


def _read_wall(value: object, at: str, problems: Problems) -> WalkedWall:
    fields = entries(value, at, problems, ("heading", "length"), ("siding",))
    heading = _heading(fields["heading"], f"{at}.heading", problems) if "heading" in fields else Fraction(0)
    feet = length(fields, "length", at, problems)
    own = choice(fields["siding"], f"{at}.siding", problems, STATUSES) if "siding" in fields else None
    return WalkedWall(heading, feet, own)


def _heading(value: object, at: str, problems: Problems) -> Fraction:
    degrees = heading_of(value)
    if degrees is not None:
        return degrees
    says = say("a heading is N, NE, E, SE, S, SW, W, NW or 0 to 360 degrees, not {read}", read=quoted(value))
    problems.append(Problem(at, says))
    return Fraction(0)


def _read_measured(value: object, at: str, problems: Problems) -> Read | None:
    before = len(problems)
    fields = entries(value, at, problems, ("by", "length"), ("floor_area",))
    feet = length(fields, "length", at, problems)
    area = _area(fields, at, problems) if "floor_area" in fields else None
    if not usable(problems, before):
        return None
    return Measured(feet, area), Survey(feet, feet, feet, area)


def _read_area(value: object, at: str, problems: Problems) -> Read | None:
    fields = entries(value, at, problems, ("by", "floor_area"))
    area = _area(fields, at, problems) if "floor_area" in fields else None
    return None if area is None else (ByArea(area), survey_of_area(area))


def _area(fields: dict[str, object], at: str, problems: Problems) -> Fraction | None:
    return number(fields["floor_area"], f"{at}.floor_area", problems, over=0, most=LARGEST_AREA)


def survey_of_area(area: Fraction) -> Survey:
    """Feet around `area` square feet: a rectangle twice as long as wide, a square, one four times as long."""
    middle, low, high = root(18 * area), root(16 * area), root(25 * area)
    return Survey(middle, low, high, area, estimated=True)


_READERS = {
    "rectangles": _read_rectangles,
    "walk": _read_walk,
    "measured": _read_measured,
    "area": _read_area,
}
