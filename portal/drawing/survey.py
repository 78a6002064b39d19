"""What the drawing has to know of a plan: each wall's ends, which side is outside, and its neighbors.

Reads the geometry record of the takeoff by the names of its parts and never changes it. Coordinates are
feet, x to the east and y to the north.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Protocol

from portal.drawing.pen import Point

Number = Fraction | float


class WallLike(Protocol):
    """A wall of the takeoff's geometry: ends and length in feet, and its siding."""

    @property
    def x1(self) -> Any: ...
    @property
    def y1(self) -> Any: ...
    @property
    def x2(self) -> Any: ...
    @property
    def y2(self) -> Any: ...
    @property
    def length(self) -> Any: ...
    @property
    def status(self) -> Any: ...


class PlanLike(Protocol):
    """Rings of walls; the outer walls of each part of the house and of each court within it."""

    @property
    def rings(self) -> Sequence[Sequence[WallLike]]: ...


@dataclass(frozen=True, slots=True)
class Stretch:
    """One wall to draw: its ends, the unit vector that points outside, and the walls it meets."""

    start: Point
    end: Point
    out: Point
    length: Number
    status: str
    name: str
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
    across: Number | None
    deep: Number | None

    def overall(self, turned: bool) -> Number | None:
        """Feet over all, north-south where turned, else east-west."""
        return self.deep if turned else self.across

    @property
    def box(self) -> tuple[float, float, float, float]:
        """West, south, east and north edge."""
        xs = [x for ring in self.rings for x, _ in ring]
        ys = [y for ring in self.rings for _, y in ring]
        return min(xs), min(ys), max(xs), max(ys)


def inside(point: Point, edges: Sequence[tuple[Point, Point]]) -> bool:
    """Whether a point is on the floor, by counting the walls east of it (even: it is not)."""
    x, y = point
    crossings = 0
    for (x1, y1), (x2, y2) in edges:
        if (y1 > y) != (y2 > y) and x1 + (y - y1) / (y2 - y1) * (x2 - x1) > x:
            crossings += 1
    return crossings % 2 == 1


def outward(start: Point, end: Point, edges: Sequence[tuple[Point, Point]]) -> Point:
    """The unit vector square to a wall that points away from the floor."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    span = math.sqrt(dx * dx + dy * dy)
    nx, ny = dy / span, -dx / span
    step = min(0.01, span / 4)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return (-nx, -ny) if inside((middle[0] + nx * step, middle[1] + ny * step), edges) else (nx, ny)


def survey(plan: PlanLike) -> Survey:
    """Read a plan. Raises ValueError where it has no wall to draw."""
    rings = [[(float(w.x1), float(w.y1), float(w.x2), float(w.y2), w) for w in ring] for ring in plan.rings]
    if not any(rings):
        raise ValueError("a plan without walls cannot be drawn")
    gap = gap_of(plan)
    edges = [((a, b), (c, d)) for ring in rings for a, b, c, d, _ in ring] + ([gap] if gap else [])
    walls: list[Stretch] = []
    for number, ring in enumerate(rings):
        first = len(walls)
        for i, (a, b, c, d, wall) in enumerate(ring):
            last = len(ring) - 1
            before = i - 1 if i else last
            after = i + 1 if i < last else 0
            status = wall.status or "unplaced"
            walls.append(
                Stretch(
                    (a, b), (c, d), outward((a, b), (c, d), edges), wall.length, str(status), f"{number}-{i}",
                    first + before if meets(ring[before][2:4], (a, b)) else None,
                    first + after if meets(ring[after][0:2], (c, d)) else None,
                )
            )  # fmt: skip
    corners = tuple(tuple(p for a, b, c, d, _ in ring for p in ((a, b), (c, d))) for ring in rings)
    return Survey(tuple(walls), corners, gap, *extents(plan, gap))


def meets(one: Point, other: Point) -> bool:
    """Whether two walls end in one corner; a thousandth of a foot is the finest length there is."""
    return abs(one[0] - other[0]) < 0.001 and abs(one[1] - other[1]) < 0.001


def gap_of(plan: PlanLike) -> tuple[Point, Point] | None:
    """The line from where a walk ends to where it began, if the plan has one."""
    gap: Any = getattr(plan, "gap", None)
    if gap is None:
        return None
    return (float(gap.x1), float(gap.y1)), (float(gap.x2), float(gap.y2))


def extents(plan: PlanLike, gap: object) -> tuple[Number | None, Number | None]:
    """Overall feet east-west and north-south, where every wall runs square and its ends are exact."""
    walls = [wall for ring in plan.rings for wall in ring]
    exact = all(isinstance(v, int | Fraction) for w in walls for v in (w.x1, w.y1, w.x2, w.y2))
    if gap or not exact or not all(w.x1 == w.x2 or w.y1 == w.y2 for w in walls):
        return None, None
    xs, ys = [w.x1 for w in walls], [w.y1 for w in walls]
    return Fraction(max(xs) - min(xs)), Fraction(max(ys) - min(ys))
