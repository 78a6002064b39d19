"""Where the walls of a drawing are, for whoever lays something over it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from portal.drawing.frame import Frame
from portal.drawing.pen import Point
from portal.drawing.survey import Stretch


@dataclass(frozen=True, slots=True)
class Line:
    """A wall as drawn: its middle, its length in units, and how far it is turned, clockwise from level."""

    middle: Point
    long: float
    turn: float


@dataclass(frozen=True, slots=True)
class Places:
    """A drawing's size, its units to a foot, its walls in their order, and where any point of the plan is."""

    frame: Frame
    walls: tuple[Line, ...]

    @property
    def width(self) -> float:
        return self.frame.width

    @property
    def height(self) -> float:
        return self.frame.height

    @property
    def scale(self) -> float:
        return self.frame.scale

    def at(self, point: Point) -> Point:
        """A point of the plan, in feet, on the drawing."""
        return self.frame.at(point)


def lines(walls: list[Stretch]) -> tuple[Line, ...]:
    """Walls that stand on the drawing already."""
    return tuple(
        Line(
            ((wall.start[0] + wall.end[0]) / 2, (wall.start[1] + wall.end[1]) / 2),
            wall.span,
            math.degrees(math.atan2(wall.end[1] - wall.start[1], wall.end[0] - wall.start[0])),
        )
        for wall in walls
    )
