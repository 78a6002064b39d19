"""When a technician is at work, and how much of a day the booked stops fill."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

#: A technician's week until it is entered: eight hours, Monday to Friday (common practice, no source).
USUAL_WEEK = (480, 480, 480, 480, 480, 0, 0)
#: Minutes a stop for the way there and unloading, until they are entered (common practice, no source).
USUAL_TRAVEL = 30
#: Minutes to a further stop of one subdivision on one day, at most (common practice, no source).
NEXT_DOOR = 10
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
    """The stops of one technician's day: how many, their minutes on site together, and where they are.

    `near` of them are in a subdivision where there is another one before.
    """

    stops: int = 0
    minutes: int = 0
    near: int = 0
    subdivisions: frozenset[str] = frozenset()

    def with_stop(self, minutes: int, subdivision: str | None = None) -> Load:
        """The load with one stop more."""
        near = self.near + (subdivision in self.subdivisions)
        where = self.subdivisions | {subdivision} if subdivision else self.subdivisions
        return Load(self.stops + 1, self.minutes + minutes, near, where)

    def filled(self, travel: int) -> int:
        """Minutes of the day it fills, with the ways to all stops."""
        return self.minutes + (self.stops - self.near) * travel + self.near * way(travel, near=True)


def way(travel: int, *, near: bool) -> int:
    """Minutes of the way to a stop; `near` another one in the same subdivision it is shorter."""
    return min(travel, NEXT_DOOR) if near else travel


def loads(stops: Iterable[tuple[str, date, int, str | None]]) -> dict[tuple[str, date], Load]:
    """The load of each technician and day, from (technician, day, minutes on site, subdivision) of stops."""
    found: dict[tuple[str, date], Load] = {}
    for technician, day, minutes, subdivision in stops:
        found[technician, day] = found.get((technician, day), Load()).with_stop(minutes, subdivision)
    return found
