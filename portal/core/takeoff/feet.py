"""Feet of a level and of a house: what the concentrate, the hours and the price are reckoned from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from portal.core.numbers import summed
from portal.core.takeoff.house import (
    FACES,
    OPEN,
    SIDED,
    STATUSES,
    WRAPPED,
    House,
    InteriorByRatio,
    Level,
    SidingByFace,
    SidingByLength,
    Walk,
)

# Interior feet to a square foot of floor, where nobody measured: the middle is ANSI/ASHRAE
# Standard 140 case L100 (128 ft in 1,539 ft2); low and high are other published houses.
RATIO, RATIO_LOW, RATIO_HIGH = Fraction(83, 1000), Fraction(625, 10_000), Fraction(124, 1000)

NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class FeetByStatus:
    """Exterior feet by what is on their outside."""

    sided: Fraction
    wrapped: Fraction
    open: Fraction


@dataclass(frozen=True, slots=True)
class LevelFeet:
    """Feet of one storey of a level, before `repeat`; `low` and `high` of exterior and interior together."""

    exterior: Fraction
    interior: Fraction
    low: Fraction
    high: Fraction
    by_status: FeetByStatus


@dataclass(frozen=True, slots=True)
class Feet:
    """Feet of a whole house. `low` and `high` are of the total, and are the total where all is measured."""

    exterior: Fraction
    interior: Fraction
    total: Fraction
    second_coat: Fraction
    outside: Fraction
    wrapped: Fraction
    low: Fraction
    high: Fraction
    estimated: bool

    @property
    def basis(self) -> str:
        """`estimated` where any part of the house is, else `measured`."""
        return "estimated" if self.estimated else "measured"


def level_feet(level: Level) -> LevelFeet:
    """Feet of one storey of `level`."""
    survey = level.survey
    if isinstance(level.interior, InteriorByRatio):
        area = survey.floor_area or NOTHING
        interior, least, most = area * RATIO, area * RATIO_LOW, area * RATIO_HIGH
    else:
        interior = least = most = level.interior.length
    if is_estimated(level):
        low, high = survey.low + least, survey.high + most
    else:
        low = high = survey.exterior + interior
    return LevelFeet(survey.exterior, interior, low, high, by_status(level))


def is_estimated(level: Level) -> bool:
    """Whether any feet of the level are an estimate."""
    return level.survey.estimated or isinstance(level.interior, InteriorByRatio)


def by_status(level: Level) -> FeetByStatus:
    """Exterior feet of one storey by status."""
    if isinstance(level.siding, SidingByLength):
        return FeetByStatus(level.siding.sided, level.siding.wrapped, level.siding.open)
    feet = dict.fromkeys(STATUSES, NOTHING)
    for length, status in parts(level):
        feet[status] += length
    return FeetByStatus(feet[SIDED], feet[WRAPPED], feet[OPEN])


def parts(level: Level) -> Iterator[tuple[Fraction, str]]:
    """The level's exterior in the parts that its siding tells apart: length and status of each."""
    siding, survey = level.siding, level.survey
    if isinstance(siding, SidingByLength):
        for length, status in ((siding.sided, SIDED), (siding.wrapped, WRAPPED), (siding.open, OPEN)):
            if length:
                yield length, status
    elif isinstance(level.outline, Walk):
        for wall in level.outline.walls:
            yield wall.length, wall.siding or str(siding)
    elif isinstance(siding, SidingByFace) and survey.faces:
        for face, length in zip(FACES, survey.faces, strict=True):
            yield length, getattr(siding, face)
    else:
        yield survey.exterior, str(siding)


def sided_stretches(house: House) -> list[tuple[Fraction, int]]:
    """Lengths of the stretches that get a second coat, each with how many storeys have it.

    A stretch is a sided wall of a walk, the sided part of one face, or the level's one sided length.
    """
    return [
        (length, level.repeat) for level in house.levels for length, status in parts(level) if status == SIDED
    ]


def house_feet(house: House, levels: tuple[LevelFeet, ...]) -> Feet:
    """Feet of the house from those of its levels, in the same order."""
    storeys = [level.repeat for level in house.levels]
    exterior = _times(storeys, [feet.exterior for feet in levels])
    interior = _times(storeys, [feet.interior for feet in levels])
    sided = _times(storeys, [feet.by_status.sided for feet in levels])
    wrapped = _times(storeys, [feet.by_status.wrapped for feet in levels])
    total = low = high = exterior + interior
    estimated = any(is_estimated(level) for level in house.levels)
    if estimated:
        low = _times(storeys, [feet.low for feet in levels])
        high = _times(storeys, [feet.high for feet in levels])
    return Feet(exterior, interior, total, sided, exterior - sided, wrapped, low, high, estimated)


def _times(storeys: list[int], each: list[Fraction]) -> Fraction:
    if storeys == [1]:
        return each[0]
    return summed(*(feet * count for feet, count in zip(each, storeys, strict=True)))


def feet_of(house: House) -> Feet:
    """Feet of the house."""
    return house_feet(house, tuple(level_feet(level) for level in house.levels))


__all__ = [
    "Feet",
    "FeetByStatus",
    "LevelFeet",
    "by_status",
    "feet_of",
    "house_feet",
    "level_feet",
    "parts",
    "sided_stretches",
]
