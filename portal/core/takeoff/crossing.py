"""Whether two straight lines between corners meet, in whole numbers; `hair` counts as no distance at all."""

from __future__ import annotations

from fractions import Fraction

Point = tuple[int, int]
Line = tuple[Point, Point]


def meet(one: Line, other: Line, hair: int) -> bool:
    """Whether the two have a point in common, or come within `hair` of each other."""
    if _apart(one, other, 0, hair) or _apart(one, other, 1, hair):
        return False
    (a, b), (c, d) = one, other
    if _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0:
        return True
    return any(_on(point, one, hair) for point in other) or any(_on(point, other, hair) for point in one)


def meet_only_near(start: Point, last: Line, first: Line, near: int, hair: int) -> bool:
    """Whether every common point of the last and the first wall is within `near` of the start.

    What two straight lines have in common is a point or a line; its ends are ends of one of
    the two that lie on the other, or else the two cut each other in one point.
    """
    common: list[tuple[Fraction | int, Fraction | int]] = [point for point in last if _on(point, first, hair)]
    common += [point for point in first if _on(point, last, hair)]
    if not common:
        if not meet(last, first, hair):
            return True
        common = [_cut(last, first)]
    return all((x - start[0]) ** 2 + (y - start[1]) ** 2 <= near * near for x, y in common)


def _apart(one: Line, other: Line, axis: int, hair: int) -> bool:
    a, b, c, d = one[0][axis], one[1][axis], other[0][axis], other[1][axis]
    return max(a, b) + hair < min(c, d) or max(c, d) + hair < min(a, b)


def _side(a: Point, b: Point, c: Point) -> int:
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (turn > 0) - (turn < 0)


def _on(point: Point, line: Line, hair: int) -> bool:
    (ax, ay), (bx, by) = line
    dx, dy, px, py = bx - ax, by - ay, point[0] - ax, point[1] - ay
    squared, along = dx * dx + dy * dy, px * dx + py * dy
    if along <= 0 or not squared:
        return px * px + py * py <= hair * hair
    if along >= squared:
        return (point[0] - bx) ** 2 + (point[1] - by) ** 2 <= hair * hair
    across: int = px * dy - py * dx
    return across * across <= hair * hair * squared


def _cut(one: Line, other: Line) -> tuple[Fraction, Fraction]:
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    below = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    share = Fraction((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx), below)
    return ax + share * (bx - ax), ay + share * (by - ay)
