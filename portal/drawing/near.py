"""Dimensions of single walls, set close to them: in notches, in courts and along walls at an angle."""

from __future__ import annotations

import math

from portal.drawing.lengths import feet_inches, lettered_width
from portal.drawing.pen import Point
from portal.drawing.strings import LETTER, NEAR, Strings
from portal.drawing.survey import Stretch
from portal.drawing.walls import along


def apart(one: list[Point], other: list[Point]) -> bool:
    """Whether a line fits between two convex shapes (separating axes; a line is a shape of two points)."""
    for shape in (one, other):
        for i, (x1, y1) in enumerate(shape):
            x2, y2 = shape[(i + 1) % len(shape)]
            ax, ay = y2 - y1, x1 - x2
            ours = [x * ax + y * ay for x, y in one]
            theirs = [x * ax + y * ay for x, y in other]
            if max(ours) < min(theirs) or max(theirs) < min(ours):
                return True
    return False


def room(wall: Stretch, start: float, end: float, low: float, high: float) -> list[Point]:
    """The oblong outside a wall, from start to end along it and from low to high away from it."""
    dx = (wall.end[0] - wall.start[0]) / wall.span
    dy = (wall.end[1] - wall.start[1]) / wall.span
    foot = [(wall.start[0] + dx * s, wall.start[1] + dy * s) for s in (start, end)]
    return [along(foot[0], wall, low), along(foot[1], wall, low), along(foot[1], wall, high),
            along(foot[0], wall, high)]  # fmt: skip


def upright(wall: Stretch) -> tuple[float, bool]:
    """How far to turn lettering along a wall, and whether its top then looks away from the wall."""
    turn = math.degrees(math.atan2(wall.end[1] - wall.start[1], wall.end[0] - wall.start[0]))
    turn = (turn + 90) % 180 - 90
    if turn > 89.99:
        turn -= 180
    up = (math.sin(math.radians(turn)), -math.cos(math.radians(turn)))
    return turn, up[0] * wall.out[0] + up[1] * wall.out[1] > 0


def dimension(
    strings: Strings, wall: Stretch, blocks: list[list[Point]], width: float, height: float
) -> bool:
    """Dimension one wall where it stands. False, with nothing drawn, where there is no room for it.

    Its line may cross another fine line, its lettering may touch nothing.
    """
    text = feet_inches(wall.length)
    wide, long = lettered_width(text, strings.size), wall.span
    if wide + 6 > long:
        return False
    line = room(wall, 1, long - 1, NEAR, NEAR)[:2]
    words = room(wall, (long - wide) / 2, (long + wide) / 2, NEAR + 1, NEAR + LETTER + strings.size)
    if not all(2 < x < width - 2 and 2 < y < height for x, y in [*line, *words]):
        return False
    if not all(apart(line, block) for block in [*blocks, *strings.taken]):
        return False
    if not all(apart(words, block) for block in [*blocks, *strings.taken, *strings.lines]):
        return False
    strings.fine(along(wall.start, wall, NEAR), along(wall.end, wall, NEAR))
    strings.tick(along(wall.start, wall, NEAR))
    strings.tick(along(wall.end, wall, NEAR))
    turn, rising = upright(wall)
    middle = ((wall.start[0] + wall.end[0]) / 2, (wall.start[1] + wall.end[1]) / 2)
    at = along(middle, wall, NEAR + (LETTER if rising else LETTER + strings.size * 0.72))
    strings.drawn.append(strings.pen.text(at, text, strings.size, turn=turn))
    strings.taken.append(words)
    return True


def facing(one: Stretch, other: Stretch) -> bool:
    """Whether two walls of one length look at each other across a notch or a court: one then tells both."""
    opposed = one.out[0] * other.out[0] + one.out[1] * other.out[1] < -1 + 1e-9
    across = (other.start[0] - one.start[0]) * one.out[0] + (other.start[1] - one.start[1]) * one.out[1]
    tx, ty = -one.out[1], one.out[0]
    mine = sorted(p[0] * tx + p[1] * ty for p in (one.start, one.end))
    theirs = sorted(p[0] * tx + p[1] * ty for p in (other.start, other.end))
    level = abs(mine[0] - theirs[0]) < 0.5 and abs(mine[1] - theirs[1]) < 0.5
    return opposed and across > 0 and level and one.length == other.length


def dimension_rest(
    strings: Strings, walls: list[Stretch], told: set[str], width: float, height: float
) -> None:
    """Dimension the walls that no side string has told, but only one of two that face each other."""
    blocks = [[wall.start, wall.end] for wall in walls]
    done: list[Stretch] = []
    for wall in walls:
        if wall.name in told or any(facing(wall, other) for other in done):
            continue
        if dimension(strings, wall, blocks, width, height):
            done.append(wall)
