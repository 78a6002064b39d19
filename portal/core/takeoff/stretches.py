"""The pieces of exterior wall whose siding a technician confirms, one by one, on the day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from portal.core.takeoff.bearings import NAMED
from portal.core.takeoff.house import (
    FACES,
    OPEN,
    SIDED,
    WRAPPED,
    House,
    Level,
    Rectangles,
    SidingByFace,
    SidingByLength,
    Walk,
)
from portal.core.words import Said, say


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of exterior wall on one storey.

    `key` is unique in the house and stays the same as long as the outline does. `level` counts from
    0, `storey` from 1 over the level's repeats. `length` in feet; `status` as the takeoff has it.
    """

    key: str
    level: int
    storey: int
    level_name: str
    label: Said
    length: Fraction
    status: str


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch as it is on every storey of a level; `mark` is the last part of its key."""

    mark: str
    label: Said
    length: Fraction
    status: str


def stretches(house: House) -> tuple[Stretch, ...]:
    """All stretches of the house; those of a storey add up to its exterior feet exactly."""
    return tuple(
        Stretch(stretch_key(i, storey, p.mark), i, storey, level.name, p.label, p.length, p.status)
        for i, level in enumerate(house.levels)
        for storey in range(1, level.repeat + 1)
        for p in level_parts(level)
    )


def stretch_key(level: int, storey: int, mark: str) -> str:
    """The key of a stretch: level (from 0) and storey (from 1), both shown from 1, and the mark."""
    return f"{level + 1}.{storey}.{mark}"


def level_parts(level: Level) -> Iterator[Part]:
    """The stretches of one storey of `level`."""
    siding, survey = level.siding, level.survey
    if isinstance(siding, SidingByLength):
        for status, length in ((SIDED, siding.sided), (WRAPPED, siding.wrapped), (OPEN, siding.open)):
            if length:
                yield Part(status, _PART_LABELS[status], length, status)
    elif isinstance(level.outline, Walk):
        for number, wall in enumerate(level.outline.walls, 1):
            yield Part(
                f"w{number}", wall_label(number, wall.heading), wall.length, wall.siding or str(siding)
            )
    elif isinstance(level.outline, Rectangles) and survey.faces:
        for face, length in zip(FACES, survey.faces, strict=True):
            status = getattr(siding, face) if isinstance(siding, SidingByFace) else str(siding)
            yield Part(FACE_MARKS[face], FACE_LABELS[face], length, status)
    else:
        yield Part("all", say("all exterior walls"), survey.exterior, str(siding))


def wall_label(number: int, heading: Fraction) -> Said:
    """How a wall of a walk is called; `number` counts from 1."""
    names = [name for name, degrees in NAMED.items() if degrees == heading]
    return say(
        "wall {number}, heading {heading}", number=number, heading=names[0] if names else _degrees(heading)
    )


def _degrees(heading: Fraction) -> str:
    shown = f"{float(heading):.2f}".rstrip("0").rstrip(".")
    return f"{shown}°"


FACE_MARKS = {"north": "N", "east": "E", "south": "S", "west": "W"}
FACE_LABELS = {
    "north": say("north side"),
    "east": say("east side"),
    "south": say("south side"),
    "west": say("west side"),
}
_PART_LABELS = {SIDED: say("sided part"), WRAPPED: say("wrapped part"), OPEN: say("open part")}
