"""A house as the takeoff knows it: levels, their outlines, interiors and siding. Exact feet throughout."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

OPEN, WRAPPED, SIDED = "open", "wrapped", "sided"
STATUSES = (OPEN, WRAPPED, SIDED)
FACES = ("north", "east", "south", "west")


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A piece of floor; `west` and `south` place its corner, and may be negative."""

    west: Fraction
    south: Fraction
    width: Fraction
    depth: Fraction


@dataclass(frozen=True, slots=True)
class Rectangles:
    """The floor as the union of rectangles."""

    rectangles: tuple[Rectangle, ...]


@dataclass(frozen=True, slots=True)
class WalkedWall:
    """One wall of a walk: `heading` in degrees clockwise from north (0 to under 360), `siding` if its own."""

    heading: Fraction
    length: Fraction
    siding: str | None = None


@dataclass(frozen=True, slots=True)
class Walk:
    """The outline as its walls in the order they are walked."""

    walls: tuple[WalkedWall, ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """Exterior feet as somebody measured them."""

    length: Fraction
    floor_area: Fraction | None = None


@dataclass(frozen=True, slots=True)
class ByArea:
    """Only the floor area is known, in square feet: everything else is estimated."""

    floor_area: Fraction


Outline = Rectangles | Walk | Measured | ByArea


@dataclass(frozen=True, slots=True)
class MeasuredInterior:
    """Interior feet: one length, or the sum of the walls listed."""

    length: Fraction


@dataclass(frozen=True, slots=True)
class InteriorByRatio:
    """Interior feet estimated from the floor area."""


Interior = MeasuredInterior | InteriorByRatio


@dataclass(frozen=True, slots=True)
class SidingByFace:
    """A status for each of the four faces."""

    north: str
    east: str
    south: str
    west: str


@dataclass(frozen=True, slots=True)
class SidingByLength:
    """Feet of each status on one storey; they add up to its exterior feet exactly.

    `taken_up` is what the longest of them was changed by to get there (at most 0.01 ft).
    """

    sided: Fraction
    wrapped: Fraction
    open: Fraction
    taken_up: Fraction = Fraction(0)


Siding = str | SidingByFace | SidingByLength | None


@dataclass(frozen=True, slots=True)
class Survey:
    """What measuring an outline gave, for one storey.

    `exterior`, `low`, `high`: feet (the same three times unless `estimated`). `floor_area` in square
    feet where the outline has one. `faces`: feet of the north, east, south and west face of
    rectangles. `closing_gap`: feet from the end of a walk back to its start. `slit`: parts of the
    floor lie less than an inch apart.
    """

    exterior: Fraction
    low: Fraction
    high: Fraction
    floor_area: Fraction | None = None
    faces: tuple[Fraction, Fraction, Fraction, Fraction] | None = None
    closing_gap: Fraction | None = None
    slit: bool = False
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """One level, standing for `repeat` identical storeys. `siding` is None where every wall has its own."""

    name: str
    outline: Outline
    interior: Interior
    siding: Siding
    repeat: int
    survey: Survey


@dataclass(frozen=True, slots=True)
class House:
    """A house as it was read: 1 to 12 levels."""

    name: str
    levels: tuple[Level, ...]
