"""The plans of a house as they stand on a paper: one drawing a level, as quoted or as found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from portal.core.takeoff.found import Found, plans_found
from portal.drawing import plan_svg

#: CSS pixels across, where there is more than one drawing: two stand side by side.
BESIDE = 322


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
    levels = plans_found(house, found)
    width = width if len(levels) == 1 else BESIDE
    return tuple(_drawn(level, number, width, words) for number, level in enumerate(levels))


def _drawn(level: Found, number: int, width: int, words: Mapping[str, str]) -> DrawnPlan:
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
