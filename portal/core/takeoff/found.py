"""The plans of a house as its siding was found on the day: one a level, or more where storeys differ."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from portal.core.takeoff.house import Level
from portal.core.takeoff.plan import Plan, Wall, plan
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import stretch_key


@dataclass(frozen=True, slots=True)
class Found:
    """One drawing to make: its name, the storeys (from 1) that look like it, and its geometry."""

    name: str
    storeys: tuple[int, ...]
    repeat: int
    plan: Plan


def plans_found(house: dict[str, Any], found: Mapping[str, str] | None = None) -> list[Found]:
    """The plans of a house that has a shape; none of a level that was measured by tape alone or by area.

    `found` is the siding as it was found, by stretch key; what it leaves out is as it was quoted.
    """
    levels = read_house(house).levels
    return [one for i, level in enumerate(levels) for one in _of_level(i, level, found or {})]


def _of_level(index: int, level: Level, found: Mapping[str, str]) -> list[Found]:
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
    return [Found(level.name, tuple(storeys), level.repeat, kind) for kind, storeys in kinds]


def _as_found(shape: Plan, index: int, storey: int, found: Mapping[str, str]) -> Plan:
    def seen(wall: Wall) -> Wall:
        if not wall.mark:
            return wall
        return replace(wall, status=found.get(stretch_key(index, storey, wall.mark), wall.status))

    return replace(shape, rings=tuple(tuple(seen(wall) for wall in ring) for ring in shape.rings))
