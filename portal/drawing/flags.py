"""Words on staffs that stand on a line: each begins at its place, and none is crossed by another's staff."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from portal.drawing.lengths import lettered_width
from portal.drawing.pen import Pen, track

GAP = 6.0
ROOM = 14.0


@dataclass(frozen=True, slots=True)
class Flag:
    """Words that begin at a place along the line. `row` is 1 next to the line."""

    x: float
    text: str
    red: bool = False
    row: int = 1


def stacked(flags: Iterable[Flag], size: float) -> list[Flag]:
    """Each flag on the lowest row where it touches no later one, so that no staff crosses any words."""
    kept: list[Flag] = []
    for flag in sorted(flags, key=lambda one: one.x, reverse=True):
        end = flag.x + GAP + lettered_width(flag.text, size) + GAP
        # Above every flag whose words it would touch, and above those whose own staff its words would cross.
        row = max((other.row for other in kept if other.x < end), default=0) + 1
        kept.append(Flag(flag.x, flag.text, flag.red, row))
    return kept


def height_of(flags: list[Flag], size: float) -> float:
    """How far from the line flags of these rows reach, the room next to it left out."""
    return max((flag.row for flag in flags), default=0) * (size + GAP)


def draw_flag(flag: Flag, line: float, way: int, size: float, pen: Pen) -> str:
    """A flag above (way -1) or below (way 1) the line at height `line`."""
    top = line + way * (ROOM + flag.row * (size + GAP) - GAP)
    foot = top + size * 0.85 if way < 0 else top - size * 0.2
    staff = pen.line(track([(flag.x, line), (flag.x, top)]), 0.75, "fine")
    return staff + pen.text((flag.x + GAP, foot), flag.text, size, red=flag.red, anchor="start")
