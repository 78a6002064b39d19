"""What can be taken hold of on the plan of a story being typed: its walls, and its rectangles.

The drawing itself is one picture to those who listen; what a script makes of these places is beside it.
Places are hundredths of the drawing, so that they hold at any size.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask_babel import gettext as _

from portal.core.pricing.siding_prices import SidingPrice
from portal.core.takeoff.house import Rectangle
from portal.core.takeoff.plan import Plan, Wall
from portal.core.takeoff.stretches import FACE_MARKS
from portal.drawing import Places, feet_inches, places
from portal.web.shared import siding_says
from portal.web.shared.pages import told
from portal.web.shared.typed_plan import rectangle_of


@dataclass(frozen=True, slots=True)
class HeldWall:
    """A wall to tap: the field its siding is chosen in, where it is drawn, what each siding would do.

    `leads` is whether the keyboard comes to it: once for all the walls of a face, or it is no help.
    """

    field: str
    name: str
    status: str
    leads: bool
    at: tuple[str, str]
    long: str
    turn: str
    does: dict[str, str]


@dataclass(frozen=True, slots=True)
class HeldRectangle:
    """A rectangle to move and to size: its row's fields, its feet, where its middle and its corner are."""

    row: str
    number: int
    feet: dict[str, str]
    says: str
    middle: tuple[str, str]
    corner: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Board:
    """A drawing's places, and how many feet it is wide."""

    feet_wide: str
    walls: tuple[HeldWall, ...]
    rectangles: tuple[HeldRectangle, ...]


def board_of(
    found: Plan,
    typed: dict[str, Any],
    level: int,
    width: int,
    prices: Mapping[str, SidingPrice],
    currency: str,
) -> Board:
    """The places of a story's plan, as `typed` in its level; `prices` by the mark of the stretch."""
    drawn = places(found, width)
    rows = enumerate(typed["outline"].get("rectangles", ()))
    # Siding by length has no place on the plan, so no wall of it can be chosen.
    by_length = isinstance(typed.get("siding"), dict) and typed["siding"]["by"] == "length"
    rectangles = [(row, read) for row, entered in rows if (read := rectangle_of(entered))]
    return Board(
        _share(drawn.width / drawn.scale),
        () if by_length else tuple(_walls(found, level, drawn, prices, currency)),
        tuple(_rectangle(read, row, level, drawn) for row, read in rectangles),
    )


def _walls(
    found: Plan, level: int, drawn: Places, prices: Mapping[str, SidingPrice], currency: str
) -> list[HeldWall]:
    walls = [wall for ring in found.rings for wall in ring]
    longest: dict[str, Wall] = {}
    for wall in walls:
        if wall.face and (wall.face not in longest or wall.length > longest[wall.face].length):
            longest[wall.face] = wall
    held = []
    for number, (wall, line) in enumerate(zip(walls, drawn.walls, strict=True), 1):
        mark = FACE_MARKS[wall.face] if wall.face else f"w{number}"
        chosen = f"siding.{wall.face}" if wall.face else f"outline.walls[{number - 1}].siding"
        held.append(HeldWall(
            f"levels[{level}].{chosen}", told(wall.label), wall.status or "",
            longest.get(wall.face or "", wall) is wall,
            _at(line.middle, drawn), _share(100 * line.long / drawn.width), _share(line.turn),
            siding_says.in_chooser(prices.get(mark), currency),
        ))  # fmt: skip
    return held


def _rectangle(read: Rectangle, row: int, level: int, drawn: Places) -> HeldRectangle:
    west, south, width, depth = (float(feet) for feet in (read.west, read.south, read.width, read.depth))
    says = _(
        "%(width)s by %(depth)s; west edge at %(west)s, south edge at %(south)s",
        width=feet_inches(read.width), depth=feet_inches(read.depth),
        west=_signed(read.west), south=_signed(read.south),
    )  # fmt: skip
    feet = {"west": west, "south": south, "width": width, "depth": depth}
    middle, corner = (west + width / 2, south + depth / 2), (west + width, south + depth)
    return HeldRectangle(
        f"levels[{level}].outline.rectangles[{row}]", row + 1,
        {key: f"{one:.6f}" for key, one in feet.items()}, str(says),
        _at(drawn.at(middle), drawn), _at(drawn.at(corner), drawn),
    )  # fmt: skip


def _signed(feet: Any) -> str:
    return ("−" if feet < 0 else "") + feet_inches(abs(feet))


def _at(point: tuple[float, float], drawn: Places) -> tuple[str, str]:
    return _share(100 * point[0] / drawn.width), _share(100 * point[1] / drawn.height)


def _share(value: float) -> str:
    return f"{value:.3f}"
