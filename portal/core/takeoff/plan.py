"""A level as lines on a sheet: the walls of its outline, each with its face, siding and outside."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import hypot

from portal.core.takeoff import union, walk
from portal.core.takeoff.house import Level, Rectangles, SidingByFace, SidingByLength, Walk
from portal.core.takeoff.stretches import FACE_LABELS, FACE_MARKS, wall_label
from portal.core.words import Said

Place = Fraction | float


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall from (x1, y1) to (x2, y2): feet east and north of the level's origin.

    Exact, but for walks with headings askew, whose corners are floats, for drawing only. `length` is
    always exact feet. `face` is the side its outside looks at (rectangles only). `status` is None
    where siding is given by length, which has no place on the sheet. `mark` is the last part of the
    keys of its stretch, one for all walls of a face. `outward` is a direction of length one, (east,
    north), from the wall to the outside.
    """

    x1: Place
    y1: Place
    x2: Place
    y2: Place
    length: Fraction
    face: str | None
    status: str | None
    mark: str
    label: Said
    outward: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Plan:
    """The level's outline as rings of walls.

    Rings of rectangles have the floor on their left: outer ones run counterclockwise, courts
    clockwise, and floors that touch in a corner stay apart. A walk is one ring, as it was walked.
    `gap` is the line from the end of a walk back to its start, where it does not close by itself.
    """

    rings: tuple[tuple[Wall, ...], ...]
    gap: tuple[Place, Place, Place, Place] | None
    west: Place
    south: Place
    east: Place
    north: Place


def plan(level: Level) -> Plan | None:
    """The plan of one storey; None where the outline has no shape (measured, by area)."""
    if isinstance(level.outline, Rectangles):
        return _of_rectangles(level, level.outline)
    if isinstance(level.outline, Walk):
        return _of_walk(level, level.outline)
    return None


_FACE_OF = {(0, -1): "south", (1, 0): "east", (0, 1): "north", (-1, 0): "west"}


def _of_rectangles(level: Level, outline: Rectangles) -> Plan:
    floor = union.grid(outline.rectangles)
    rings = []
    for corners in union.rings(floor):
        places = [(Fraction(x, floor.unit), Fraction(y, floor.unit)) for x, y in corners]
        ends = [*places[1:], places[0]]
        rings.append(tuple(_straight(level, a, b) for a, b in zip(places, ends, strict=True)))
    return _bounded(tuple(rings), None)


def _straight(level: Level, start: tuple[Fraction, Fraction], end: tuple[Fraction, Fraction]) -> Wall:
    east, north = end[0] - start[0], end[1] - start[1]
    # The floor is on the left, so the outside is on the right.
    outward = ((north > 0) - (north < 0), (east < 0) - (east > 0))
    face = _FACE_OF[outward]
    siding = level.siding
    status = getattr(siding, face) if isinstance(siding, SidingByFace) else _level_status(level)
    mark, label = _placed(level, FACE_MARKS[face]), FACE_LABELS[face]
    return Wall(*start, *end, abs(east) + abs(north), face, status, mark, label, outward)


def _level_status(level: Level) -> str | None:
    return level.siding if isinstance(level.siding, str) else None


def _placed(level: Level, mark: str) -> str:
    # Siding by length has no place: its stretches are not walls of the sheet.
    return "" if isinstance(level.siding, SidingByLength) else mark


def _of_walk(level: Level, outline: Walk) -> Plan:
    way = walk.path(outline.walls)
    corners = [_corner(x, way.unit, way.exact) + _corner(y, way.unit, way.exact) for x, y in way.corners]
    clockwise = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(way.corners)) < 0
    walls = []
    for i, wall in enumerate(outline.walls):
        start, end = corners[i], corners[i + 1]
        east, north = float(end[0] - start[0]), float(end[1] - start[1])
        size = hypot(east, north) or 1.0
        outward = (-north / size, east / size) if clockwise else (north / size, -east / size)
        status = None if isinstance(level.siding, SidingByLength) else wall.siding or _level_status(level)
        mark, label = _placed(level, f"w{i + 1}"), wall_label(i + 1, wall.heading)
        walls.append(Wall(*start, *end, wall.length, None, status, mark, label, outward))
    start, end = corners[0], corners[-1]
    return _bounded((tuple(walls),), (*end, *start) if level.survey.closing_gap else None)


def _corner(at: int, unit: int, exact: bool) -> tuple[Place]:
    return (Fraction(at, unit) if exact else at / unit,)


def _bounded(rings: tuple[tuple[Wall, ...], ...], gap: tuple[Place, Place, Place, Place] | None) -> Plan:
    xs = [x for ring in rings for wall in ring for x in (wall.x1, wall.x2)]
    ys = [y for ring in rings for wall in ring for y in (wall.y1, wall.y2)]
    return Plan(rings, gap, min(xs), min(ys), max(xs), max(ys))


__all__ = ["Place", "Plan", "Wall", "plan"]
