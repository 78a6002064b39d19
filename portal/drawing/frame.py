"""The frame of a drawing: how many units a foot is, and where the plan stands on the sheet."""

from __future__ import annotations

from dataclasses import dataclass

from portal.drawing.pen import Point


@dataclass(frozen=True, slots=True)
class Margins:
    """Room kept free around the plan for dimension strings, in drawing units."""

    west: float
    north: float
    east: float
    south: float


@dataclass(frozen=True, slots=True)
class Frame:
    """Feet to drawing units. One unit is one CSS pixel where the drawing is shown at its own width."""

    width: float
    height: float
    scale: float
    left: float
    bottom: float
    west: float
    south: float

    def at(self, point: Point) -> Point:
        """A point of the plan (feet, y north) on the drawing (units, y down)."""
        return (
            self.left + (point[0] - self.west) * self.scale,
            self.bottom - (point[1] - self.south) * self.scale,
        )


STRIP = 44.0


def fit(box: tuple[float, float, float, float], margins: Margins, width: float) -> Frame:
    """The largest scale at which a box of feet fits a width, and a height no worse than nearly square."""
    west, south, east, north = box
    across, deep = max(east - west, 0.01), max(north - south, 0.01)
    tallest = max(0.72 * width, 300.0)
    scale = min(
        (width - margins.west - margins.east) / across, (tallest - margins.north - margins.south) / deep
    )
    scale = max(scale, 0.01)
    height = margins.north + deep * scale + margins.south + STRIP
    spare = width - margins.west - margins.east - across * scale
    bottom = margins.north + deep * scale
    return Frame(width, height, scale, margins.west + spare / 2, bottom, west, south)
