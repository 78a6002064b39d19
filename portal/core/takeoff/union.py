"""The floor that several rectangles make together: its boundary by face, its area, its rings of walls.

All coordinates are brought to one common denominator first and cut into a grid; a column of the
grid is one whole number whose bits are the covered cells. So sixty rectangles are fast, and exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise
from math import lcm

from portal.core.takeoff.house import Rectangle, Survey


@dataclass(frozen=True, slots=True)
class Grid:
    """The floor as covered cells, cut at the lines `xs` and `ys` (in 1/`unit` of a foot).

    `columns[i]` has bit j set where the cell from xs[i] to xs[i+1] and ys[j] to ys[j+1] is floor.
    """

    unit: int
    xs: tuple[int, ...]
    ys: tuple[int, ...]
    columns: tuple[int, ...]


def survey(rectangles: Sequence[Rectangle]) -> Survey:
    """Feet, area and faces of the union of `rectangles`."""
    if len(rectangles) == 1:
        ns, ew = rectangles[0].width, rectangles[0].depth
        feet = 2 * (ns + ew)
        return Survey(feet, feet, feet, ns * ew, (ns, ew, ns, ew))
    floor = grid(rectangles)
    east = north = area = 0
    for left, right, width in zip(floor.columns, (*floor.columns[1:], 0), _steps(floor.xs), strict=True):
        # A line across the floor enters it as often as it leaves: north is as long as south, east as west.
        east += _height(left & ~right, floor.ys)
        north += width * (left & ~(left >> 1)).bit_count()
        area += width * _height(left, floor.ys)
    ns, ew = Fraction(north, floor.unit), Fraction(east, floor.unit)
    feet = 2 * (ns + ew)
    slit = _has_slit(floor, rectangles)
    return Survey(feet, feet, feet, Fraction(area, floor.unit**2), (ns, ew, ns, ew), slit=slit)


def grid(rectangles: Sequence[Rectangle]) -> Grid:
    """The cells that `rectangles` cover."""
    unit = lcm(*(edge.denominator for r in rectangles for edge in (r.west, r.south, r.width, r.depth)))
    sides = []
    for r in rectangles:
        west, south = _scaled(r.west, unit), _scaled(r.south, unit)
        sides.append((west, south, west + _scaled(r.width, unit), south + _scaled(r.depth, unit)))
    xs = tuple(sorted({x for side in sides for x in side[::2]}))
    ys = tuple(sorted({y for side in sides for y in side[1::2]}))
    column = {x: i for i, x in enumerate(xs)}
    row = {y: j for j, y in enumerate(ys)}
    columns = [0] * (len(xs) - 1)
    for west, south, east, north in sides:
        covered = (1 << row[north]) - (1 << row[south])
        for i in range(column[west], column[east]):
            columns[i] |= covered
    return Grid(unit, xs, ys, tuple(columns))


def _scaled(value: Fraction, unit: int) -> int:
    return value.numerator * (unit // value.denominator)


def _steps(lines: Sequence[int]) -> Iterable[int]:
    return (after - before for before, after in pairwise(lines))


def _height(cells: int, ys: Sequence[int]) -> int:
    total = 0
    while cells:
        # A run of ones at a time: from its lowest bit to the first zero above it.
        first = (cells & -cells).bit_length() - 1
        after = (~(cells >> first) & ((cells >> first) + 1)).bit_length() - 1 + first
        total += ys[after] - ys[first]
        cells = cells >> after << after
    return total


def _has_slit(floor: Grid, rectangles: Sequence[Rectangle]) -> bool:
    inch = Fraction(floor.unit, 12)
    if all(step >= inch for lines in (floor.xs, floor.ys) for step in _steps(lines)):
        return False
    rows = [
        sum((cells >> j & 1) << i for i, cells in enumerate(floor.columns)) for j in range(len(floor.ys) - 1)
    ]
    return (
        any(_narrow(cells, floor.ys, inch) for cells in floor.columns)
        or any(_narrow(cells, floor.xs, inch) for cells in rows)
        or any(_corner_gap(one, other, rectangles) for one, other in combinations(rectangles, 2))
    )


def _narrow(cells: int, lines: Sequence[int], inch: Fraction) -> bool:
    # A gap lies between two covered cells of one column or row.
    covered = [j for j in range(cells.bit_length()) if cells >> j & 1]
    return any(
        after - before > 1 and lines[after] - lines[before + 1] < inch for before, after in pairwise(covered)
    )


def _corner_gap(one: Rectangle, other: Rectangle, all_of_them: Sequence[Rectangle]) -> bool:
    # Two corners all but meet: no line across the floor shows it. Whatever touches the gap joins them.
    west, east = max(one.west, other.west), min(one.west + one.width, other.west + other.width)
    south, north = max(one.south, other.south), min(one.south + one.depth, other.south + other.depth)
    across, up = west - east, south - north
    if across < 0 or up < 0 or not 0 < 144 * (across**2 + up**2) < 1:
        return False
    return not any(
        r.west <= west and east <= r.west + r.width and r.south <= south and north <= r.south + r.depth
        for r in all_of_them
        if r is not one and r is not other
    )


Point = tuple[int, int]


def rings(floor: Grid) -> tuple[tuple[Point, ...], ...]:
    """The boundary as closed rings of corners, in the units of the grid, the floor always on the left.

    Outer rings run counterclockwise and courts clockwise; parts that touch in a corner stay apart.
    """
    leaving: dict[Point, list[Point]] = {}
    for start, end in _edges(floor):
        leaving.setdefault(start, []).append(end)
    found = []
    while leaving:
        start = min(leaving)
        found.append(_ring(start, leaving))
    return tuple(found)


def _edges(floor: Grid) -> Iterable[tuple[Point, Point]]:
    xs, ys = floor.xs, floor.ys
    for i, (left, here) in enumerate(zip((0, *floor.columns), (*floor.columns, 0), strict=True)):
        for j in range(len(ys) - 1):
            if left >> j & 1 and not here >> j & 1:
                yield (xs[i], ys[j]), (xs[i], ys[j + 1])
            if here >> j & 1 and not left >> j & 1:
                yield (xs[i], ys[j + 1]), (xs[i], ys[j])
    for i, cells in enumerate(floor.columns):
        for j in range(len(ys)):
            below, above = bool(j and cells >> (j - 1) & 1), bool(cells >> j & 1)
            if below and not above:
                yield (xs[i + 1], ys[j]), (xs[i], ys[j])
            if above and not below:
                yield (xs[i], ys[j]), (xs[i + 1], ys[j])


def _ring(start: Point, leaving: dict[Point, list[Point]]) -> tuple[Point, ...]:
    corners: list[Point] = []
    here, heading = start, (0, 0)
    while True:
        after = max(leaving[here], key=lambda end: _turn(heading, _way(here, end)))
        leaving[here].remove(after)
        if not leaving[here]:
            del leaving[here]
        way = _way(here, after)
        if way != heading:
            corners.append(here)
        here, heading = after, way
        if here == start:
            break
    if _way(corners[0], corners[1]) == heading:
        del corners[0]
    return tuple(corners)


def _way(start: Point, end: Point) -> Point:
    east, north = end[0] - start[0], end[1] - start[1]
    return (east > 0) - (east < 0), (north > 0) - (north < 0)


def _turn(before: Point, after: Point) -> int:
    # Left is 1, straight on 0, right -1: a left turn stays with the same piece of floor.
    return before[0] * after[1] - before[1] * after[0]
