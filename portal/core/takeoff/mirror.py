"""A house flipped east to west, as builders build the same plan on the other side of the street.

The document is flipped, not the survey of it, so that what comes out is a takeoff like any other. All
stories turn about one line, the middle between the westmost and the eastmost edge of the whole house:
they stay above each other, and two flips give back what was there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from portal.core.errors import BadInput, Problem
from portal.core.numbers import plainly
from portal.core.takeoff.bearings import NAMED
from portal.core.takeoff.house import House, Level, Outline, Rectangle, Rectangles, Walk
from portal.core.takeoff.lengths import FEET_IN, LONGEST_NUMBER, length_or_fault
from portal.core.takeoff.reading import read_house
from portal.core.words import say

Document = dict[str, Any]

_NAMES = {degrees: name for name, degrees in NAMED.items()}
_SHORTEST_PART = 64


def mirrored(house: Document) -> Document:
    """The house document flipped east to west. Raises `BadInput` where the engine does not take the house."""
    read = read_house(house)
    middle = _ends(_rectangles(read))
    levels = zip(house["levels"], read.levels, strict=True)
    flipped = [
        _flipped(document, level, middle, f"levels[{n}]") for n, (document, level) in enumerate(levels)
    ]
    return house | {"levels": flipped}


def _rectangles(house: House) -> Iterable[Rectangle]:
    for level in house.levels:
        if isinstance(level.outline, Rectangles):
            yield from level.outline.rectangles


def _ends(rectangles: Iterable[Rectangle]) -> Fraction:
    """The westmost and the eastmost edge, added up: an edge and its mirror image add up to the same."""
    edges = [(one.west, one.west + one.width) for one in rectangles]
    return min(west for west, _ in edges) + max(east for _, east in edges) if edges else Fraction(0)


def _flipped(document: Document, level: Level, ends: Fraction, at: str) -> Document:
    found = document | {"outline": _outline(document["outline"], level.outline, ends, f"{at}.outline")}
    siding = document.get("siding")
    if isinstance(siding, dict) and siding["by"] == "face":
        found["siding"] = siding | {"east": siding["west"], "west": siding["east"]}
    return found


def _outline(document: Document, outline: Outline, ends: Fraction, at: str) -> Document:
    if isinstance(outline, Rectangles):
        rows = zip(document["rectangles"], outline.rectangles, strict=True)
        return document | {
            "rectangles": [
                row | {"west": written(ends - one.west - one.width, f"{at}.rectangles[{n}].west")}
                for n, (row, one) in enumerate(rows)
            ]
        }
    if isinstance(outline, Walk):
        walls = zip(document["walls"], outline.walls, strict=True)
        return document | {"walls": [row | {"heading": _heading(-wall.heading % 360)} for row, wall in walls]}
    return document


def _heading(degrees: Fraction) -> str:
    return _NAMES[degrees] if degrees in _NAMES else _decimal(degrees) or plainly(degrees)


def written(feet: Fraction, at: str = "") -> str:
    """Feet as one would type them, to the last of them: what is read back is the same length.

    Raises `BadInput` at `at` where there is no such text.
    """
    sign, size = ("-", -feet) if feet < 0 else ("", feet)
    for text in _ways(size):
        # A length that was added up from several may be under the least or over the most there is.
        if text is not None and length_or_fault(sign + text, signed=True) == feet:
            return sign + text
    raise BadInput([Problem(at, say("turned around, this edge would be at a length that cannot be written"))])


def _ways(feet: Fraction) -> Iterable[str | None]:
    inches = feet * 12
    yield str(feet) if feet.denominator == 1 else None
    if _SHORTEST_PART % inches.denominator == 0:
        yield _feet_and_inches(feet)
    yield _decimal(feet)
    metres = _decimal(feet / FEET_IN["m"])
    yield f"{metres} m" if metres else None
    whole, part = divmod(inches, 1)
    yield f'{whole} {part.numerator}/{part.denominator}"' if part else f'{whole}"'


def _feet_and_inches(feet: Fraction) -> str:
    whole, inches = divmod(feet * 12, 12)
    inch, part = divmod(inches, 1)
    shown = " ".join([*([str(inch)] if inch or not part else []), *([str(part)] if part else [])])
    return f"{whole}' {shown}\""


def _decimal(value: Fraction) -> str | None:
    """An exact decimal number, where there is one short enough to be read."""
    below, twos, fives = value.denominator, 0, 0
    while below % 2 == 0:
        below, twos = below // 2, twos + 1
    while below % 5 == 0:
        below, fives = below // 5, fives + 1
    places = max(twos, fives)
    if below != 1 or places > LONGEST_NUMBER:
        return None
    whole, rest = divmod(int(value * 10**places), 10**places)
    return f"{whole}.{rest:0{places}d}" if places else str(whole)


def same_walls(one: Document, other: Document) -> bool:
    """Whether two houses are entered alike, whatever they are called and whatever is outside their walls."""
    return _bare(read_house(one)) == _bare(read_house(other))


def _bare(house: House) -> list[tuple[Outline, Any, int]]:
    return [(_unsided(level.outline), level.interior, level.repeat) for level in house.levels]


def _unsided(outline: Outline) -> Outline:
    if isinstance(outline, Walk):
        return Walk(tuple(replace(wall, siding=None) for wall in outline.walls))
    return outline
