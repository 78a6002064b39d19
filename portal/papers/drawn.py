"""The plans of a house as they stand on a paper: one drawing a level, as quoted or as found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup

from portal.core.takeoff.house import Level
from portal.core.takeoff.plan import Plan, Wall, plan
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import stretch_key
from portal.drawing import plan_svg

#: CSS pixels across, where there is more than one drawing: two stand side by side.
BESIDE = 322


@dataclass(frozen=True, slots=True)
class Drawing:
    """One drawing to make: its name, the storeys (from 1) that look like it, and its geometry."""

    name: str
    storeys: tuple[int, ...]
    repeat: int
    plan: Plan


@dataclass(frozen=True, slots=True)
class DrawnPlan:
    """A drawing and what stands under it. `unplaced`: its siding is told by length, not by wall."""

    name: str
    storeys: str
    svg: Markup
    unplaced: bool


def plans_of(
    house: dict[str, Any], words: Mapping[str, str], width: int, found: Mapping[str, str] | None = None
) -> tuple[DrawnPlan, ...]:
    """The plans of a house that has a shape; none where it was measured by tape alone or by area.

    `words` are templates in the reader's language: `title` ({name}), `desc`, `gap`. `width` is that of
    one drawing alone, in CSS pixels. `found` is the siding as it was found, by stretch
    key; storeys that then differ are drawn apart.
    """
    read = read_house(house)
    levels = [one for i, level in enumerate(read.levels) for one in _levels(i, level, found or {})]
    width = width if len(levels) == 1 else BESIDE
    return tuple(_drawn(level, number, width, words) for number, level in enumerate(levels))


def _levels(index: int, level: Level, found: Mapping[str, str]) -> list[Drawing]:
    shape = plan(level)
    if shape is None:
        return []
    kinds: list[tuple[Plan, list[int]]] = []
    for storey in range(1, level.repeat + 1):
        seen = _as_found(shape, index, storey, found)
        same = next((storeys for kind, storeys in kinds if kind == seen), None)
        if same is None:
            kinds.append((seen, [storey]))
        else:
            same.append(storey)
    return [Drawing(level.name, tuple(storeys), level.repeat, kind) for kind, storeys in kinds]


def _as_found(shape: Plan, index: int, storey: int, found: Mapping[str, str]) -> Plan:
    def seen(wall: Wall) -> Wall:
        if not wall.mark:
            return wall
        return replace(wall, status=found.get(stretch_key(index, storey, wall.mark), wall.status))

    return replace(shape, rings=tuple(tuple(seen(wall) for wall in ring) for ring in shape.rings))


def _drawn(level: Drawing, number: int, width: int, words: Mapping[str, str]) -> DrawnPlan:
    title = words["title"].format(name=level.name)
    svg = plan_svg(
        level.plan,
        title=title,
        desc=words["desc"],
        width=width,
        for_paper=True,
        ident=f"plan-{number}",
        gap_word=words["gap"],
    )
    storeys = ", ".join(str(storey) for storey in level.storeys) if level.repeat > 1 else ""
    unplaced = any(wall.status is None for ring in level.plan.rings for wall in ring)
    # The drawing escapes whatever people typed; it is the one thing a paper takes as it is.
    return DrawnPlan(level.name, storeys, Markup(svg), unplaced)
