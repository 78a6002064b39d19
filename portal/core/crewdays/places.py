"""What days are found for, and where: lots that are not booked, technicians' days, and how good a plan is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from portal.core.crewdays.hours import way
from portal.core.crewdays.window import Window

CENTS = 100


@dataclass(frozen=True, slots=True)
class Unbooked:
    """A lot that has no day yet. `adds` is what siding that is on adds to its price; `group` its subdivision.

    A lot outside of any subdivision has an empty group, and is a trip of its own.
    """

    key: str
    minutes: int
    window: Window = field(default_factory=Window)
    group: str = ""
    adds: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class CrewDay:
    """One technician's day: minutes that are left of it, and the subdivisions of the stops booked already.

    `at_work` is the whole of it; less may be left than nothing.
    """

    technician: str
    day: date
    left: int
    visits: frozenset[str] = frozenset()
    at_work: int = 0


class Score(NamedTuple):
    """How good a plan is; less is better, and what stands first counts first.

    `unkept` lots without a day in their window; `added` cents by siding that is on before the treatment;
    `trips`, that is days of a technician by subdivision; `later`, days from the first one, summed over lots.
    """

    unkept: int
    added: int
    trips: int
    later: int


@dataclass(frozen=True)
class Question:
    """The lots, the technicians' days in order, and the minutes of the way to a stop."""

    lots: tuple[Unbooked, ...]
    days: tuple[CrewDay, ...]
    travel: int

    @cached_property
    def first(self) -> date:
        """The first day that is looked at."""
        return min((one.day for one in self.days), default=date.min)

    @cached_property
    def last(self) -> date:
        """The last one."""
        return max((one.day for one in self.days), default=date.min)

    def fits(self, lot: Unbooked, place: CrewDay) -> bool:
        """Whether a lot could be treated there if nothing else were put there."""
        return lot.window.holds(place.day) and self.takes((lot,), place) <= place.left

    def takes(self, lots: Iterable[Unbooked], place: CrewDay) -> int:
        """Minutes of a technician's day that some lots fill, with the ways to them."""
        found, seen = 0, set(place.visits)
        for lot in lots:
            found += lot.minutes + way(self.travel, near=lot.group in seen)
            seen |= {lot.group} - {""}
        return found

    def added_left(self, lot: Unbooked) -> int:
        """Cents that siding adds to a lot that gets no day: it does, if it starts before anybody can come."""
        return cents(lot) if not lot.window.before_siding(self.last + timedelta(1)) else 0

    def score(self, plan: Mapping[int, int]) -> Score:
        """How good a plan is: lots by their place among the lots, days by theirs among the days."""
        unkept = [lot for n, lot in enumerate(self.lots) if n not in plan]
        kept = [(self.lots[n], self.days[at], at) for n, at in plan.items()]
        late = sum(cents(lot) for lot, place, _at in kept if not lot.window.before_siding(place.day))
        trips = {(at, lot.group) for lot, place, at in kept if lot.group and lot.group not in place.visits}
        return Score(
            len(unkept), late + sum(self.added_left(lot) for lot in unkept),
            len(trips) + sum(1 for lot, _place, _at in kept if not lot.group),
            sum((place.day - self.first).days for _lot, place, _at in kept),
        )  # fmt: skip


def cents(lot: Unbooked) -> int:
    """What siding adds to a lot's price, in cents. Where waiting makes it cheaper, it still adds nothing."""
    return max(0, int(lot.adds * CENTS))
