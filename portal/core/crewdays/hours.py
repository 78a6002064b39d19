"""When a technician is at work, and how much of a day the booked stops fill."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

#: A technician's week until it is entered: eight hours, Monday to Friday (common practice, no source).
USUAL_WEEK = (480, 480, 480, 480, 480, 0, 0)
#: Minutes a stop for the way there and unloading, until they are entered (common practice, no source).
USUAL_TRAVEL = 30
WHOLE_DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Hours:
    """A technician's usual week in minutes, Monday first, own days off, and those of the office."""

    week: tuple[int, ...] = USUAL_WEEK
    days_off: frozenset[date] = field(default=frozenset())
    office_off: frozenset[date] = field(default=frozenset())

    def off(self, day: date) -> bool:
        """Whether nobody can count on this technician: an own day off."""
        return day in self.days_off

    def minutes_on(self, day: date) -> int:
        """Minutes at work on a day; none on a day off, the office's or an own one."""
        return 0 if day in self.days_off or day in self.office_off else self.week[day.weekday()]


@dataclass(frozen=True, slots=True)
class Load:
    """The stops of one technician's day: how many, and their minutes on site together."""

    stops: int = 0
    minutes: int = 0

    def with_stop(self, minutes: int) -> Load:
        """The load with one stop more."""
        return Load(self.stops + 1, self.minutes + minutes)

    def filled(self, travel: int) -> int:
        """Minutes of the day it fills, with `travel` minutes for each stop."""
        return self.minutes + self.stops * travel


def loads(stops: Iterable[tuple[str, date, int]]) -> dict[tuple[str, date], Load]:
    """The load of each technician and day, from (technician, day, minutes on site) of every stop."""
    found: dict[tuple[str, date], Load] = {}
    for technician, day, minutes in stops:
        found[technician, day] = found.get((technician, day), Load()).with_stop(minutes)
    return found
