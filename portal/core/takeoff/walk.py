"""An outline walked wall by wall: where it leads, whether it comes back, whether it crosses itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm

from portal.core.numbers import summed
from portal.core.takeoff.bearings import SCALE, is_square, one_foot
from portal.core.takeoff.crossing import Point, meet, meet_only_near
from portal.core.takeoff.house import Survey, WalkedWall
from portal.core.takeoff.roots import root
from portal.core.words import Said, say

LEAST_GAP = Fraction(1, 2)
GAP_SHARE = Fraction(5, 1000)
HAIR = Fraction(1, 10**9)
# Where a heading is not square to the axes, a coordinate holds to some thirty decimals; figures are
# cut at twenty, so that a square turned by 45 degrees has exactly the area of one that is not.
_CUT = 10**20


@dataclass(frozen=True, slots=True)
class Path:
    """The corners of a walk, from its start to its end, in 1/`unit` of a foot east and north of the start.

    `exact` says that every wall runs along an axis, so that nothing had to be rounded.
    """

    unit: int
    corners: tuple[Point, ...]
    exact: bool


def path(walls: Sequence[WalkedWall]) -> Path:
    """Where the walk leads."""
    exact = all(is_square(wall.heading) for wall in walls)
    common = lcm(*(wall.length.denominator for wall in walls))
    east = north = 0
    corners = [(0, 0)]
    for wall in walls:
        length = wall.length.numerator * (common // wall.length.denominator)
        step_east, step_north = one_foot(wall.heading)
        if exact:
            step_east, step_north = step_east // SCALE, step_north // SCALE
        east, north = east + length * step_east, north + length * step_north
        corners.append((east, north))
    return Path(common if exact else common * SCALE, tuple(corners), exact)


def survey(walls: Sequence[WalkedWall]) -> Survey | Said:
    """Feet, area and gap of a walk, or what is wrong with it as a whole."""
    way = path(walls)
    feet = summed(*(wall.length for wall in walls))
    gap = _length(way.corners[-1], way)
    limit = max(LEAST_GAP, feet * GAP_SHARE)
    if gap > limit + HAIR:
        return _does_not_close(way, gap, limit)
    crossed = _crossing(walls, way, limit)
    if crossed:
        return crossed
    area = _area(way)
    if area <= (0 if way.exact else HAIR):
        return say("the walk encloses no floor")
    return Survey(feet, feet, feet, area, closing_gap=gap)


def _length(point: Point, way: Path) -> Fraction:
    squared = Fraction(point[0] ** 2 + point[1] ** 2, way.unit**2)
    exact = root(squared)
    return exact if way.exact else Fraction(round(exact * _CUT), _CUT)


def _area(way: Path) -> Fraction:
    twice = sum(x * y2 - x2 * y for (x, y), (x2, y2) in pairwise(way.corners))
    exact = Fraction(abs(twice), 2 * way.unit**2)
    return exact if way.exact else Fraction(round(exact * _CUT), _CUT)


def _does_not_close(way: Path, gap: Fraction, limit: Fraction) -> Said:
    east, north = (Fraction(-at, way.unit) for at in way.corners[-1])
    return say(
        "the walk does not close: from its end back to its start it is {gap} ft {direction} "
        "({north} and {east}); at most {limit} ft can pass",
        gap=f"{float(gap):.2f}",
        direction=_direction(east, north),
        north=_part(north, say("{feet} ft north", feet=f"{abs(float(north)):.2f}"), "south"),
        east=_part(east, say("{feet} ft east", feet=f"{abs(float(east)):.2f}"), "west"),
        limit=f"{float(limit):.2f}",
    )


def _part(feet: Fraction, said: Said, opposite: str) -> Said:
    if feet >= 0:
        return said
    if opposite == "south":
        return say("{feet} ft south", **said.values)
    return say("{feet} ft west", **said.values)


def _direction(east: Fraction, north: Fraction) -> Said:
    # A sector of 45 degrees around each of the eight winds: beyond 22.5 degrees it is a corner wind.
    tangent = Fraction(41421356, 100000000)
    upright = abs(east) <= abs(north) * tangent
    level = abs(north) <= abs(east) * tangent
    if upright:
        return say("to the north") if north > 0 else say("to the south")
    if level:
        return say("to the east") if east > 0 else say("to the west")
    if north > 0:
        return say("to the northeast") if east > 0 else say("to the northwest")
    return say("to the southeast") if east > 0 else say("to the southwest")


def _crossing(walls: Sequence[WalkedWall], way: Path, limit: Fraction) -> Said | None:
    hair = 0 if way.exact else int(HAIR * way.unit)
    corners, last = way.corners, len(walls) - 1
    for first in range(last):
        if (walls[first].heading - walls[first + 1].heading) % 360 == 180:
            return say("wall {second} folds back on wall {first}", first=first + 1, second=first + 2)
    lines = list(pairwise(corners))
    for first in range(last + 1):
        for second in range(first + 2, last + 1):
            if (first, second) == (0, last):
                continue
            if meet(lines[first], lines[second], hair):
                return say(
                    "wall {second} crosses or touches wall {first}", first=first + 1, second=second + 1
                )
    near = int((limit + HAIR) * way.unit)
    if not meet_only_near(corners[0], lines[last], lines[0], near, hair):
        return say("wall {second} crosses or touches wall {first}", first=1, second=last + 1)
    closing = (corners[-1], corners[0])
    for between in range(1, last):
        if corners[-1] != corners[0] and meet(closing, lines[between], hair):
            return say(
                "the straight line that closes the walk crosses or touches wall {wall}", wall=between + 1
            )
    return None
