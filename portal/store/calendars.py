"""Addresses of calendars, and the stops each is told of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import func, or_, select

from portal.store.tables import CalendarAddress, CalendarStop, Company, Job, Lot, Person, Subdivision
from portal.store.transaction import Work


def keep_address(work: Work, person_id: str, token_hash: str) -> None:
    """A person's new address; the one before opens nothing any more."""
    address = CalendarAddress(person_id=person_id, token_hash=token_hash, made_at=work.now)
    work.session.merge(address)


def address_made(work: Work, person_id: str) -> datetime | None:
    """When a person's address was made; None where there is none."""
    row = work.session.get(CalendarAddress, person_id)
    return row.made_at if row else None


def reader(work: Work, token_hash: str) -> Person | None:
    """Whose calendar an address is, as long as they may sign in."""
    query = (
        select(Person).join(CalendarAddress, CalendarAddress.person_id == Person.id)
        .where(CalendarAddress.token_hash == token_hash, Person.active)
    )  # fmt: skip
    return work.session.scalar(query)


def keep(work: Work, job_id: str, reader_id: str, day: date) -> None:
    """A stop stands on a day in a reader's calendar. What was told before gets a higher sequence."""
    row = work.session.get(CalendarStop, (job_id, reader_id))
    if row is None:
        work.add(CalendarStop(
            job_id=job_id, reader_id=reader_id, day=day, sequence=0, called_off=False, changed_at=work.now,
        ))  # fmt: skip
        return
    row.day, row.called_off, row.sequence, row.changed_at = day, False, row.sequence + 1, work.now


def call_off(work: Work, job_id: str, reader_id: str | None = None) -> None:
    """A stop is called off in one reader's calendar, or in all that still have it."""
    query = select(CalendarStop).where(CalendarStop.job_id == job_id, ~CalendarStop.called_off)
    query = query if reader_id is None else query.where(CalendarStop.reader_id == reader_id)
    for row in work.session.scalars(query):
        row.called_off, row.sequence, row.changed_at = True, row.sequence + 1, work.now


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """A stop in a calendar."""

    job_id: str
    lot_id: str
    day: date
    sequence: int
    called_off: bool
    changed_at: datetime
    number: str
    lot: str
    subdivision: str
    house_number: str
    street: str
    town: str
    state: str
    postal_code: str
    company: str
    technician: str
    notes: str


def stops(work: Work, reader_id: str, since: date, called_off_since: datetime) -> list[CalendarRow]:
    """What a reader's calendar shows: stops from a day on, those called off only for a while."""
    columns: tuple[Any, ...] = (
        Job.id, Lot.id, CalendarStop.day, CalendarStop.sequence, CalendarStop.called_off,
        CalendarStop.changed_at, Job.number, Lot.name, func.coalesce(Subdivision.name, ""), Lot.house_number,
        Lot.street, Lot.town, Lot.state, Lot.postal_code, Company.name, func.coalesce(Person.name, ""),
        Job.notes,
    )  # fmt: skip
    fresh = or_(~CalendarStop.called_off, CalendarStop.changed_at >= called_off_since)
    query = (
        select(*columns).join(Job, Job.id == CalendarStop.job_id).join(Lot, Lot.id == Job.lot_id)
        .join(Company, Company.id == Lot.company_id)
        .outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .outerjoin(Person, Person.id == Job.technician_id)
        .where(CalendarStop.reader_id == reader_id, CalendarStop.day >= since, fresh)
        .order_by(CalendarStop.day, Job.number)
    )  # fmt: skip
    return [CalendarRow(*row) for row in work.session.execute(query)]
