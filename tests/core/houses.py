"""House documents by name, with defaults, and what is wrong with a bad one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from portal.core.errors import BadInput
from portal.core.estimate import answer, estimate
from portal.core.takeoff.house import House, Level
from portal.core.takeoff.reading import read_house

Document = dict[str, Any]


def rectangle(width: Any = 40, depth: Any = 30, west: Any = 0, south: Any = 0) -> Document:
    return {"west": west, "south": south, "width": width, "depth": depth}


def rectangles(*each: Document) -> Document:
    return {"by": "rectangles", "rectangles": list(each or (rectangle(),))}


def walk(text: str) -> Document:
    """An outline from `E 40, N 30 sided, W 40, S 30`."""
    walls = []
    for wall in text.split(","):
        heading, length, *siding = wall.split()
        walls.append({"heading": heading, "length": length, **({"siding": siding[0]} if siding else {})})
    return {"by": "walk", "walls": walls}


def by_area(area: Any) -> Document:
    return {"by": "area", "floor_area": area}


def measured(length: Any, **more: Any) -> Document:
    return {"by": "measured", "length": length, **more}


def by_face(north: str = "open", east: str = "open", south: str = "open", west: str = "open") -> Document:
    return {"by": "face", "north": north, "east": east, "south": south, "west": west}


def by_length(**lengths: Any) -> Document:
    return {"by": "length", **lengths}


def level(outline: Any = None, interior: Any = None, siding: Any = "open", **more: Any) -> Document:
    """A level; `siding=None` leaves it out."""
    found = {
        "name": "Main",
        "outline": rectangles() if outline is None else outline,
        "interior": measured(100) if interior is None else interior,
        **more,
    }
    return found if siding is None else {**found, "siding": siding}


def house(*levels: Document, **more: Any) -> Document:
    return {"name": "Lot 4", "levels": list(levels or (level(),)), **more}


def read(*levels: Document) -> House:
    return read_house(house(*levels))


def first(*levels: Document) -> Level:
    return read(*levels).levels[0]


def answered(*levels: Document, **options: Any) -> Document:
    return answer(estimate(read(*levels), **options))


def wrong(read: Callable[[], object]) -> list[tuple[str, str]]:
    """Where and what, for each problem that `read` finds; it must find one."""
    with pytest.raises(BadInput) as caught:
        read()
    return [(problem.at, str(problem.says)) for problem in caught.value.problems]


def wrong_places(*levels: Any) -> list[str]:
    """The paths of all problems of a house of these levels."""
    return [at for at, _ in wrong(lambda: read_house(house(*levels)))]
