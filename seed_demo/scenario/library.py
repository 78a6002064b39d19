"""The house plans that one builder of the story keeps: each edition on its day, and one plan retired."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from itertools import count
from typing import Any

from portal.acts import plan_views, plans
from portal.acts.parts import Actor, Parts
from seed_demo.scenario import houses
from seed_demo.scenario.clock import StoryClock

COBBLE, LINNET, WREN = "The Cobble", "The Linnet", "Wren Cabin"

#: Day from today, plan, its house, and the remark on the edition.
EDITIONS: tuple[tuple[int, str, dict[str, Any], str], ...] = (
    (-34, COBBLE, houses.RANCH, ""),
    (-34, LINNET, houses.PORCH, ""),
    (-33, WREN, houses.CABIN, ""),
    (-9, LINNET, houses.PORCH_OVERHUNG, "Second floor two feet over the porch."),
    (-2, COBBLE, houses.RANCH_WITH_PANTRY, "Pantry beside the kitchen."),
)
RETIRED = ((-12, WREN),)


@dataclass(slots=True)
class Library:
    """A builder's house plans, kept in the order of time with everything else."""

    parts: Parts
    clock: StoryClock
    builder: Actor
    keys: count[int] = field(default_factory=lambda: count(1))

    def acts(self) -> Iterator[tuple[datetime, int, Callable[[], None]]]:
        """Moment, nothing (which comes before any lot of that moment), and what is done then."""
        for place, (day, name, house, remark) in enumerate(EDITIONS):
            yield self.clock.at(day, 16, 5 * place), 0, partial(self.enter, name, house, remark)
        for day, name in RETIRED:
            yield self.clock.at(day, 16, 40), 0, partial(self.retire, name)

    def enter(self, name: str, house: dict[str, Any], remark: str) -> None:
        """A plan's first edition, or its next."""
        known = self._known()
        if name not in known:
            plans.make(self.parts, self.builder, name, house, remark, self.once())
            return
        version = self._version(known[name])
        plans.enter_edition(self.parts, self.builder, known[name], version, house, remark, self.once())

    def retire(self, name: str) -> None:
        """A plan that is offered no more."""
        known = self._known()
        plans.retire(self.parts, self.builder, known[name], self._version(known[name]), self.once())

    def _known(self) -> dict[str, str]:
        return {name: plan_id for plan_id, name in plan_views.offered(self.parts, self.builder)}

    def _version(self, plan_id: str) -> int:
        return plan_views.plan_view(self.parts, self.builder, plan_id).version

    def once(self) -> str:
        """A once-key."""
        return f"demo-plan-{next(self.keys)}"
