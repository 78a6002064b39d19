"""Technicians' weeks and days off, and the lots that stand on the schedule of crew days."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, and_, delete, func, or_, select

from portal.core.crewdays.hours import USUAL_WEEK, Load, loads
from portal.core.crewdays.window import Window
from portal.store.tables import Company, DayOff, Job, Lot, Person, Subdivision, TechnicianWeek
from portal.store.transaction import Work

#: The states of a job whose stop fills a technician's day.
FILLS = ("booked", "on site", "treated", "signed off")
TO_DO = ("unscheduled", "booked", "on site")


@dataclass(frozen=True, slots=True)
class CrewRow:
    """A lot on the schedule. `minutes` are those on site by its accepted quote, without the way there."""

    lot_id: str
    lot: str
    house_number: str
    street: str
    town: str
    subdivision_id: str | None
    subdivision: str
    company: str
    version: int
    framing_done: date | None
    siding_starts: date | None
    insulation_starts: date | None
    job_id: str
    number: str
    state: str
    technician_id: str | None
    technician: str
    day: date | None
    minutes: int
    notes: str

    @property
    def window(self) -> Window:
        """The window of its open frame."""
        return Window(self.framing_done, self.siding_starts, self.insulation_starts)


def rows(work: Work, first: date, last: date) -> list[CrewRow]:
    """Every lot still to be treated, and those treated between two days, whose window shuts first on top."""
    shown = or_(Job.state.in_(TO_DO), and_(Job.state.in_(FILLS), Job.day.between(first, last)))
    found = [CrewRow(*row) for row in work.session.execute(_rows().where(shown))]
    return sorted(found, key=lambda row: (*row.window.narrows, row.number))


def row_of(work: Work, lot_id: str) -> CrewRow | None:
    """One lot as the schedule has it; None where it has no job."""
    found = work.session.execute(_rows().where(Lot.id == lot_id)).one_or_none()
    return CrewRow(*found) if found else None


def _rows() -> Select[Any]:
    columns: tuple[Any, ...] = (
        Lot.id, Lot.name, Lot.house_number, Lot.street, Lot.town, Lot.subdivision_id,
        func.coalesce(Subdivision.name, ""), Company.name, Lot.version, Lot.framing_done, Lot.siding_starts,
        Lot.insulation_starts, Job.id, Job.number, Job.state, Job.technician_id,
        func.coalesce(Person.name, ""), Job.day, Job.minutes, Job.notes,
    )  # fmt: skip
    return (
        select(*columns).join(Lot, Lot.id == Job.lot_id).join(Company, Company.id == Lot.company_id)
        .outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .outerjoin(Person, Person.id == Job.technician_id)
    )  # fmt: skip


def load(work: Work, technician_id: str, day: date, *, but_lot: str = "") -> Load:
    """What fills a technician's day, one lot left out."""
    query = select(Job.minutes, Lot.subdivision_id).join(Lot, Lot.id == Job.lot_id).where(
        Job.technician_id == technician_id, Job.day == day, Job.state.in_(FILLS), Job.lot_id != but_lot
    )  # fmt: skip
    found = Load()
    for minutes, subdivision_id in work.session.execute(query):
        found = found.with_stop(minutes, subdivision_id)
    return found


def all_loads(stops: Iterable[CrewRow]) -> dict[tuple[str, date], Load]:
    """The load of each technician and day, of the lots on the schedule."""
    filling = (s for s in stops if s.state in FILLS)
    return loads(
        (s.technician_id, s.day, s.minutes, s.subdivision_id) for s in filling if s.technician_id and s.day
    )


def weeks(work: Work) -> dict[str, tuple[int, ...]]:
    """The usual weeks that were entered, by technician; whoever has none works `USUAL_WEEK`."""
    return {row.person_id: tuple(row.minutes) for row in work.session.scalars(select(TechnicianWeek))}


def week_of(work: Work, person_id: str) -> tuple[int, ...]:
    """One technician's usual week."""
    row = work.session.get(TechnicianWeek, person_id)
    return tuple(row.minutes) if row else USUAL_WEEK


def keep_week(work: Work, person_id: str, minutes: Iterable[int]) -> None:
    """Keep a technician's usual week."""
    work.session.merge(TechnicianWeek(person_id=person_id, minutes=list(minutes)))


def days_off(work: Work, first: date, last: date | None = None) -> list[DayOff]:
    """Technicians' days off from one day on, up to another where it is given, in order."""
    query = select(DayOff).where(DayOff.day >= first).order_by(DayOff.day, DayOff.person_id)
    query = query if last is None else query.where(DayOff.day <= last)
    return list(work.session.scalars(query))


def has_day_off(work: Work, person_id: str, day: date) -> bool:
    """Whether a technician is off on a day."""
    return work.session.get(DayOff, (person_id, day)) is not None


def keep_day_off(work: Work, person_id: str, day: date, words: str) -> None:
    """Keep a day off; a day kept already gets the new words."""
    work.session.merge(DayOff(person_id=person_id, day=day, words=words))


def drop_day_off(work: Work, person_id: str, day: date) -> bool:
    """Take a day off back; answers whether there was one."""
    query = delete(DayOff).where(DayOff.person_id == person_id, DayOff.day == day)
    return bool(work.session.execute(query).rowcount)  # type: ignore[attr-defined]
