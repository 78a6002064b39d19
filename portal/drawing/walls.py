"""Exterior walls by siding, told apart by line and never by color alone.

Open is a single heavy line. Wrapped adds a dashed line outside it. Sided adds a band outside it, hatched at
45 degrees (the line work of a section through cladding; common practice, no source). A wall whose siding is
not told by wall is a single light line. Hatches are drawn line by line and clipped here, because PDF makers
differ in what they do with SVG patterns.
"""

from __future__ import annotations

import math
from dataclasses import replace

from portal.drawing.frame import Frame
from portal.drawing.pen import Pen, Point, element, segments, track
from portal.drawing.survey import Stretch

DEPTH = {"wrapped": 7.0, "sided": 9.0}
WEIGHT = {"open": 2.5, "wrapped": 2.5, "sided": 2.5}
HATCH_STEP = 5.0


def along(point: Point, wall: Stretch, depth: float) -> Point:
    return point[0] + wall.out[0] * depth, point[1] + wall.out[1] * depth


def outer_corner(point: Point, wall: Stretch, other: Stretch | None, far: Point, depth: float) -> Point:
    """Where the outer edge of a wall's band ends: mitered to a neighbor of its kind, else cut square."""
    square = along(point, wall, depth)
    if other is None:
        return square
    turned = (far[0] - point[0]) * wall.out[0] + (far[1] - point[1]) * wall.out[1]
    inner_corner = turned > 0.01
    together = 1 + wall.out[0] * other.out[0] + wall.out[1] * other.out[1]
    if together < 0.3 or not (other.status == wall.status or (inner_corner and other.status in DEPTH)):
        return square
    return (
        point[0] + (wall.out[0] + other.out[0]) / together * depth,
        point[1] + (wall.out[1] + other.out[1]) / together * depth,
    )


def band(wall: Stretch, walls: list[Stretch]) -> list[Point]:
    """The strip outside a wall as four corners: along the wall, then back along the outer edge."""
    depth = DEPTH.get(wall.status, 0.0)
    before = walls[wall.before] if wall.before is not None else None
    after = walls[wall.after] if wall.after is not None else None
    first = outer_corner(wall.start, wall, before, before.start if before else wall.start, depth)
    last = outer_corner(wall.end, wall, after, after.end if after else wall.end, depth)
    forward = (last[0] - first[0]) * (wall.end[0] - wall.start[0])
    forward += (last[1] - first[1]) * (wall.end[1] - wall.start[1])
    if forward <= 0:
        middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
        return [wall.start, wall.end, middle, middle]
    return [wall.start, wall.end, last, first]


def hatch(corners: list[Point], angle: float) -> list[tuple[Point, Point]]:
    """Parallel lines across a convex shape, in step with one grid, so that neighbors' hatches meet."""
    dx, dy = math.cos(math.radians(angle)), -math.sin(math.radians(angle))
    reach = [x * dy - y * dx for x, y in corners]
    lines = []
    for step in range(math.ceil(min(reach) / HATCH_STEP), math.floor(max(reach) / HATCH_STEP) + 1):
        cut = crossing(corners, reach, step * HATCH_STEP)
        if cut:
            lines.append(cut)
    return lines


def crossing(corners: list[Point], reach: list[float], level: float) -> tuple[Point, Point] | None:
    """The piece of one hatch line that lies within the shape."""
    hits: list[Point] = []
    for i, (x1, y1) in enumerate(corners):
        x2, y2 = corners[(i + 1) % len(corners)]
        a, b = reach[i] - level, reach[(i + 1) % len(corners)] - level
        if (a > 0) != (b > 0):
            share = a / (a - b)
            hits.append((x1 + (x2 - x1) * share, y1 + (y2 - y1) * share))
    if len(hits) != 2 or abs(hits[0][0] - hits[1][0]) + abs(hits[0][1] - hits[1][1]) < 0.5:
        return None
    return (hits[0], hits[1]) if hits[0] <= hits[1] else (hits[1], hits[0])


def hatch_angle(wall: Stretch) -> float:
    """45 degrees, but level where the wall itself runs near 45, which would hide the hatch."""
    degrees = math.degrees(math.atan2(wall.start[1] - wall.end[1], wall.end[0] - wall.start[0])) % 180
    return 0.0 if 20 < degrees < 70 else 45.0


def placed(walls: tuple[Stretch, ...], frame: Frame) -> list[Stretch]:
    """The walls in drawing units, y downward."""
    return [
        replace(w, start=frame.at(w.start), end=frame.at(w.end), out=(w.out[0], -w.out[1])) for w in walls
    ]


def draw_wall(wall: Stretch, walls: list[Stretch], pen: Pen) -> str:
    """One wall with what is on it, in a group that carries its status and its number."""
    lines = [pen.line(track([wall.start, wall.end]), WEIGHT.get(wall.status, 1.25), "wall")]
    if wall.status in DEPTH:
        start, end, last, first = band(wall, walls)
        if wall.status == "wrapped":
            lines.append(pen.line(track([first, last]), 1.25, "wrap", dashes="6 4"))
        else:
            lines.append(pen.line(track([start, first, last, end]), 1.0, "cladding"))
            lines.append(
                pen.line(segments(hatch([start, end, last, first], hatch_angle(wall))), 0.9, "hatch")
            )
    group = {"class": f"wall wall--{wall.status}", "data-wall": wall.name}
    if wall.mark:
        group["data-stretch"] = wall.mark
    return element("g", group, "".join(lines))
