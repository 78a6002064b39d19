"""An outline walked wall by wall: where it leads, whether it comes back, whether it crosses itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm

from portal.core.money.amount import two_places
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
    limit = limit_of(walls)
    if gap > limit + HAIR:
        return _does_not_close(way, gap, limit)
    crossed = _crossing(walls, way, limit)
    if crossed:
        return crossed
    area = _area(way)
    if area <= (0 if way.exact else HAIR):
        return say("the walk encloses no floor")
    return Survey(feet, feet, feet, area, closing_gap=gap)


def limit_of(walls: Sequence[WalkedWall], further: Fraction = Fraction(0)) -> Fraction:
    """The largest gap that passes: of the walls, and of so many feet further."""
    return max(LEAST_GAP, (summed(*(wall.length for wall in walls)) + further) * GAP_SHARE)


def missing(walls: Sequence[WalkedWall]) -> tuple[Fraction, Fraction] | None:
    """Feet east and north from where the walk ends back to its start; None where it closes well enough."""
    way = path(walls)
    if _length(way.corners[-1], way) <= limit_of(walls) + HAIR:
        return None
    east, north = (Fraction(at, way.unit) for at in way.corners[-1])
    return -east, -north


def _length(point: Point, way: Path) -> Fraction:
    squared = Fraction(point[0] ** 2 + point[1] ** 2, way.unit**2)
    exact = root(squared)
    return exact if way.exact else Fraction(round(exact * _CUT), _CUT)


def _area(way: Path) -> Fraction:
    twice = sum(x * y2 - x2 * y for (x, y), (x2, y2) in pairwise(way.corners))
    exact = Fraction(abs(twice), 2 * way.unit**2)
    return exact if way.exact else Fraction(round(exact * _CUT), _CUT)


def _does_not_close(way: Path, gap: Fraction, limit: Fraction) -> Said:
    east, north = (Fraction(at, way.unit) for at in way.corners[-1])
    # What is missing goes the other way than the end lies.
    missing = [_toward_east(-east), _toward_north(-north)]
    if abs(east) > abs(north):
        missing.reverse()
    said = {"gap": _shown(gap), "direction": _direction(east, north), "limit": _shown(limit)}
    if min(abs(east), abs(north)) < Fraction(5, 1000):
        return say(
            "the walk does not close: it ends {gap} ft {direction} of its start, so {one} is missing; "
            "at most {limit} ft can pass",
            one=missing[1],
            **said,
        )
    return say(
        "the walk does not close: it ends {gap} ft {direction} of its start, so {one} and {other} are "
        "missing; at most {limit} ft can pass",
        one=missing[1],
        other=missing[0],
        **said,
    )


def _shown(feet: Fraction) -> str:
    return two_places(abs(feet))


def _toward_north(feet: Fraction) -> Said:
    shown = _shown(feet)
    return say("{feet} ft north", feet=shown) if feet > 0 else say("{feet} ft south", feet=shown)


def _toward_east(feet: Fraction) -> Said:
    shown = _shown(feet)
    return say("{feet} ft east", feet=shown) if feet > 0 else say("{feet} ft west", feet=shown)


def _direction(east: Fraction, north: Fraction) -> Said:
    # A sector of 45 degrees around each of the eight winds: beyond 22.5 degrees it is a corner wind.
    tangent = Fraction(41421356, 100000000)
    if abs(east) <= abs(north) * tangent:
        return say("north") if north > 0 else say("south")
    if abs(north) <= abs(east) * tangent:
        return say("east") if east > 0 else say("west")
    if north > 0:
        return say("northeast") if east > 0 else say("northwest")
    return say("southeast") if east > 0 else say("southwest")


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
