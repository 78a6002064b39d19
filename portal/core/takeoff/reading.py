"""Reads a house document into a `House`, or says everything that is wrong with it."""

from __future__ import annotations

from fractions import Fraction

from portal.core.errors import BadInput, Problem
from portal.core.fields import Problems, choice, entries, items, length, length_at, name, whole, within
from portal.core.jsontext import Numeral, parse_json
from portal.core.takeoff.house import (
    House,
    Interior,
    InteriorByRatio,
    Level,
    MeasuredInterior,
    Rectangle,
    Rectangles,
    Siding,
    Survey,
)
from portal.core.takeoff.outlines import Read, read_outline
from portal.core.takeoff.sidings import read_siding
from portal.core.words import say

# Stands in for what could not be read until the problems are raised; nobody ever sees it.
_UNREAD: Read = (
    Rectangles((Rectangle(Fraction(0), Fraction(0), Fraction(1), Fraction(1)),)),
    Survey(Fraction(4), Fraction(4), Fraction(4)),
)


def read_house(document: object, at: str = "") -> House:
    """The house in `document` (as `parse_json` gives it, or plain Python values).

    `at` is put before every path. Raises `BadInput` with all the problems found.
    """
    problems: Problems = []
    fields = entries(document, at, problems, ("name", "levels"))
    called = name(fields["name"], within(at, "name"), problems) if "name" in fields else ""
    listed: list[object] = []
    if "levels" in fields:
        listed = items(fields["levels"], within(at, "levels"), problems, say("stories"), most=12)
    levels = [_read_level(one, f"{within(at, 'levels')}[{i}]", problems) for i, one in enumerate(listed)]
    if problems:
        raise BadInput(problems)
    return House(called, tuple(levels))


def _read_level(value: object, at: str, problems: Problems) -> Level:
    fields = entries(value, at, problems, ("name", "outline", "interior"), ("siding", "repeat"))
    called = name(fields["name"], f"{at}.name", problems) if "name" in fields else ""
    read = read_outline(fields["outline"], f"{at}.outline", problems) if "outline" in fields else None
    interior = _read_interior(fields, at, read, problems)
    siding = _read_level_siding(value, fields, at, read, problems)
    repeat = whole(fields["repeat"], f"{at}.repeat", problems, 1, 60) if "repeat" in fields else 1
    outline, survey = read or _UNREAD
    return Level(called, outline, interior or InteriorByRatio(), siding, repeat or 1, survey)


def _read_level_siding(
    value: object, fields: dict[str, object], at: str, read: Read | None, problems: Problems
) -> Siding:
    if "siding" in fields:
        return read_siding(fields["siding"], f"{at}.siding", read, problems)
    if isinstance(value, dict) and not _walls_may_have_their_own(fields.get("outline")):
        problems.append(Problem(f"{at}.siding", say("{key} is missing", key="siding")))
    return None


def _walls_may_have_their_own(outline: object) -> bool:
    # Looked up in the document: walls with another mistake in them may well have their siding, and
    # of walls that are missing nobody can say that they have not.
    if not isinstance(outline, dict) or outline.get("by") in ("rectangles", "measured", "area"):
        return False
    walls = outline.get("walls")
    if not isinstance(walls, list | tuple) or not walls:
        return outline.get("by") == "walk"
    return all(isinstance(wall, dict) and "siding" in wall for wall in walls)


def _read_interior(
    fields: dict[str, object], at: str, read: Read | None, problems: Problems
) -> Interior | None:
    if "interior" not in fields:
        return None
    value, at = fields["interior"], f"{at}.interior"
    if not isinstance(value, dict):
        entries(value, at, problems, ())
        return None
    if "by" not in value:
        problems.append(Problem(f"{at}.by", say("{key} is missing", key="by")))
        return None
    match choice(value["by"], f"{at}.by", problems, ("measured", "walls", "ratio")):
        case "measured":
            inner = entries(value, at, problems, ("by", "length"))
            return MeasuredInterior(length(inner, "length", at, problems, zero=True))
        case "walls":
            return _read_walls(value, at, problems)
        case "ratio":
            entries(value, at, problems, ("by",))
            if read and read[1].floor_area is None:
                says = say("the outline gives no floor area to estimate the interior walls from")
                problems.append(Problem(at, says))
            return InteriorByRatio()
    return None


def _read_walls(value: dict[str, object], at: str, problems: Problems) -> Interior:
    inner = entries(value, at, problems, ("by", "lengths"))
    listed: list[object] = []
    if "lengths" in inner:
        listed = items(inner["lengths"], f"{at}.lengths", problems, say("lengths"), most=500)
    feet = Fraction(0)
    for i, one in enumerate(listed):
        feet += length_at(one, f"{at}.lengths[{i}]", problems)
    return MeasuredInterior(feet)


__all__ = ["Numeral", "parse_json", "read_house"]
