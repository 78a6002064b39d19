"""A thousand houses as the estimate reads them: plain ones, Ls, walks and two storeys, all in whole inches.

Made by arithmetic from their number, so that every run measures the same thousand.
"""

from __future__ import annotations

from typing import Any

STATUSES = ("open", "wrapped", "sided")
FACES = ("north", "east", "south", "west")


def feet(inches: int) -> str:
    """Inches the way people write them: 390 is 32' 6"."""
    return f"{inches // 12}' {inches % 12}\""


def house(number: int) -> dict[str, Any]:
    """The house of that number; its shape goes by the remainder of four."""
    shape = (plain, ell, walk, two_levels)[number % 4]
    return {"name": f"House {number}", "levels": shape(number)}


def level(outline: dict[str, Any], interior: int, siding: Any, repeat: int = 1) -> dict[str, Any]:
    """One level; `interior` in inches."""
    inside = {"by": "measured", "length": feet(interior)}
    return {"name": "Level", "outline": outline, "interior": inside, "siding": siding, "repeat": repeat}


def rectangles(*corners: tuple[int, int, int, int]) -> dict[str, Any]:
    """An outline of rectangles, each west, south, width and depth in inches."""
    keys = ("west", "south", "width", "depth")
    boxes = [dict(zip(keys, (feet(side) for side in box), strict=True)) for box in corners]
    return {"by": "rectangles", "rectangles": boxes}


def plain(n: int) -> list[dict[str, Any]]:
    """One rectangle with one status all around, and so little inside that a second coat has to wait."""
    return [level(rectangles((0, 0, 480 + n % 97, 324 + n % 53)), 1200 + n % 211, STATUSES[n // 4 % 3])]


def ell(n: int) -> list[dict[str, Any]]:
    """A house and a wing that overlap, with a status to each face."""
    deep = 300 + n % 41
    outline = rectangles((0, 0, 540 + n % 89, deep), (24, deep - 36, 240 + n % 31, 276))
    faces = {face: STATUSES[(n // 4 + turn) % 3] for turn, face in enumerate(FACES)}
    return [level(outline, 1800 + n % 173, {"by": "face", **faces})]


def walk(n: int) -> list[dict[str, Any]]:
    """An L walked wall by wall, each with a status of its own."""
    wide, deep, notch, back = 600 + n % 71, 420 + n % 37, 216, 180
    legs = (("E", wide), ("N", deep - back), ("W", notch), ("N", back), ("W", wide - notch), ("S", deep))
    walls = [
        {"heading": heading, "length": feet(length), "siding": STATUSES[(n // 4 + turn) % 3]}
        for turn, (heading, length) in enumerate(legs)
    ]
    return [level({"by": "walk", "walls": walls}, 2004 + n % 151, "open")]


def two_levels(n: int) -> list[dict[str, Any]]:
    """Three rectangles below, a measured storey above that is built once or twice."""
    below = rectangles((0, 0, 504, 336 + n % 43), (480, 60, 264, 252), (-96, 120, 120 + n % 17, 144))
    sided = {"by": "length", "sided": feet(480 + n % 61), "wrapped": feet(240), "open": "rest"}
    above = level({"by": "measured", "length": feet(1608 + n % 101)}, 1320 + n % 67, sided, 1 + n // 4 % 2)
    return [level(below, 1500 + n % 83, STATUSES[n // 4 % 3]), above]
