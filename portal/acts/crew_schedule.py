"""Crew days as a schedule: lots by how soon their window shuts, and the hours of each technician's days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from portal.acts.editions import days_off, travel_minutes
from portal.acts.parts import Actor, Parts, must_be
from portal.core.crewdays.hours import USUAL_WEEK, Hours, Load
from portal.store import crew_days, people, quotes
from portal.store.crew_days import CrewRow
from portal.store.transaction import Work

__all__ = ["CrewRow", "DayLoad", "Schedule", "TechnicianLine", "hours_of", "monday", "schedule"]

#: Three weeks, from a Monday on.
SPAN = 21


@dataclass(frozen=True, slots=True)
class DayLoad:
    """A technician's day: minutes at work, minutes filled, and why nobody counts on it, where so."""

    day: date
    at_work: int
    filled: int
    stops: int
    off: bool
    words: str = ""

    @property
    def over(self) -> int:
        """Minutes beyond those at work."""
        return max(self.filled - self.at_work, 0)


@dataclass(frozen=True, slots=True)
class TechnicianLine:
    """A technician's days in the span."""

    id: str
    name: str
    days: tuple[DayLoad, ...]


@dataclass(frozen=True, slots=True)
class Schedule:
    """So many days from `first` on. `travel` minutes are added to each stop."""

    first: date
    today: date
    rows: tuple[CrewRow, ...]
    technicians: tuple[TechnicianLine, ...]
    office_off: frozenset[date]
    travel: int

    @property
    def days(self) -> tuple[date, ...]:
        """The days of the span, in order."""
        return tuple(self.first + timedelta(days=n) for n in range(SPAN))

    @property
    def last(self) -> date:
        """The last day of the span."""
        return self.first + timedelta(days=SPAN - 1)

    def row(self, lot_id: str) -> CrewRow | None:
        """A lot on the schedule."""
        return next((row for row in self.rows if row.lot_id == lot_id), None)


def monday(day: date) -> date:
    """The Monday of a day's week; the calendar's own first day, a Monday, has none before it."""
    return date.fromordinal(day.toordinal() - day.weekday())


def schedule(parts: Parts, who: Actor, begin: date | None = None) -> Schedule:
    """Three weeks from the Monday of `begin` on; of this week where it is not said."""
    must_be(who, "office")
    today = parts.today()
    first = monday(begin or today)
    last = first + timedelta(days=SPAN - 1)
    with parts.store.reading() as work:
        firm = quotes.edition_on(work, "firm", max(today, first)).document
        off, travel = frozenset(days_off(firm)), travel_minutes(firm)
        rows = crew_days.rows(work, first, last)
        lines = _technicians(work, rows, off, travel, first)
    shown = tuple(row for row in rows if row.day is None or row.day <= last)
    return Schedule(first, today, shown, lines, off, travel)


def hours_of(work: Work, first: date, last: date, office_off: frozenset[date]) -> dict[str, Hours]:
    """When each technician who can be booked is at work, between two days."""
    weeks, own = crew_days.weeks(work), crew_days.days_off(work, first, last)
    return {
        person.id: Hours(
            weeks.get(person.id, USUAL_WEEK), frozenset(d.day for d in own if d.person_id == person.id),
            office_off,
        )
        for person in people.persons(work, kind="technician")
    }  # fmt: skip


def _technicians(
    work: Work, rows: list[CrewRow], office_off: frozenset[date], travel: int, first: date
) -> tuple[TechnicianLine, ...]:
    last = first + timedelta(days=SPAN - 1)
    hours, loads = hours_of(work, first, last, office_off), crew_days.all_loads(rows)
    words = {(d.person_id, d.day): d.words for d in crew_days.days_off(work, first, last)}
    days = [first + timedelta(days=n) for n in range(SPAN)]

    def line(person_id: str, name: str) -> TechnicianLine:
        found = []
        for day in days:
            load = loads.get((person_id, day), Load())
            found.append(DayLoad(
                day, hours[person_id].minutes_on(day), load.filled(travel), load.stops,
                hours[person_id].off(day), words.get((person_id, day), ""),
            ))  # fmt: skip
        return TechnicianLine(person_id, name, tuple(found))

    return tuple(line(p.id, p.name) for p in people.persons(work, kind="technician"))
