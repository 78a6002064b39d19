"""What the drawing has to know of a plan: each wall's ends, which side is outside, and its neighbors.

Reads the geometry of the takeoff and never changes it. Coordinates are feet, x to the east, y to the north;
from here on they are floats, which a drawing of two decimals can bear. Lengths stay exact.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from portal.core.takeoff.plan import Plan, Wall
from portal.drawing.pen import Point

# Half of a sixteenth of an inch: a gap below it would be lettered as no gap at all.
LEAST_GAP = 1 / 384


@dataclass(frozen=True, slots=True)
class Stretch:
    """One wall to draw: its ends, the unit vector that points outside, and the walls it meets."""

    start: Point
    end: Point
    out: Point
    length: Fraction
    status: str
    name: str
    mark: str
    before: int | None
    after: int | None

    @property
    def span(self) -> float:
        return math.sqrt((self.end[0] - self.start[0]) ** 2 + (self.end[1] - self.start[1]) ** 2)


@dataclass(frozen=True, slots=True)
class Survey:
    """All walls of one plan, the gap of a walk that does not close, and the extents if known exactly."""

    walls: tuple[Stretch, ...]
    rings: tuple[tuple[Point, ...], ...]
    gap: tuple[Point, Point] | None
    across: Fraction | None
    deep: Fraction | None

    def overall(self, turned: bool) -> Fraction | None:
        """Feet over all, north-south where turned, else east-west."""
        return self.deep if turned else self.across

    @property
    def box(self) -> tuple[float, float, float, float]:
        """West, south, east and north edge."""
        xs = [x for ring in self.rings for x, _ in ring]
        ys = [y for ring in self.rings for _, y in ring]
        return min(xs), min(ys), max(xs), max(ys)


def survey(plan: Plan) -> Survey:
    """Read a plan. Raises ValueError where it has no wall to draw."""
    if not any(plan.rings):
        raise ValueError("a plan without walls cannot be drawn")
    walls: list[Stretch] = []
    for number, ring in enumerate(plan.rings):
        walls.extend(stretches(ring, number, len(walls)))
    corners = tuple(tuple(p for wall in ring for p in ends(wall)) for ring in plan.rings)
    return Survey(tuple(walls), corners, gap_of(plan), *extents(plan))


def stretches(ring: tuple[Wall, ...], number: int, first: int) -> list[Stretch]:
    """The walls of one ring; `first` is the place of its first wall among all."""
    found = []
    for i, wall in enumerate(ring):
        start, end = ends(wall)
        before, after = (i - 1) % len(ring), (i + 1) % len(ring)
        found.append(
            Stretch(
                start,
                end,
                wall.outward,
                wall.length,
                wall.status or "unplaced",
                f"{number}-{i}",
                wall.mark,
                first + before if meets(ends(ring[before])[1], start) else None,
                first + after if meets(ends(ring[after])[0], end) else None,
            )
        )
    return found


def ends(wall: Wall) -> tuple[Point, Point]:
    """Where a wall starts and ends."""
    return (float(wall.x1), float(wall.y1)), (float(wall.x2), float(wall.y2))


def meets(one: Point, other: Point) -> bool:
    """Whether two walls end in one corner; a thousandth of a foot is the finest length there is."""
    return abs(one[0] - other[0]) < 0.001 and abs(one[1] - other[1]) < 0.001


def gap_of(plan: Plan) -> tuple[Point, Point] | None:
    """The line from where a walk ends to where it began, if there is one to be seen."""
    if plan.gap is None:
        return None
    x1, y1, x2, y2 = (float(place) for place in plan.gap)
    far = math.sqrt((x2 - x1) ** 2 + (y2 - y1) ** 2)
    return ((x1, y1), (x2, y2)) if far >= LEAST_GAP else None


def extents(plan: Plan) -> tuple[Fraction | None, Fraction | None]:
    """Overall feet east-west and north-south, where every wall runs square and its ends are exact."""
    walls = [wall for ring in plan.rings for wall in ring]
    square = all(wall.x1 == wall.x2 or wall.y1 == wall.y2 for wall in walls)
    edges = [edge for edge in (plan.west, plan.south, plan.east, plan.north) if isinstance(edge, Fraction)]
    if plan.gap or not square or len(edges) != 4:
        return None, None
    west, south, east, north = edges
    return east - west, north - south
