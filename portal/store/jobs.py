"""Finds and adds jobs and treatment records."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from typing import Any

from sqlalchemy import select

from portal.core.errors import NotFound
from portal.store.tables import Job, Lot, Revision, TreatmentRecord
from portal.store.transaction import Work


def job(work: Work, job_id: str, *, technician_id: str | None = None) -> Job:
    """The job; with `technician_id`, only where it is that technician's stop. Raises `NotFound`."""
    found = work.session.get(Job, job_id)
    if found is None or (technician_id is not None and found.technician_id != technician_id):
        raise NotFound("job", job_id)
    return found


def job_of(work: Work, lot_id: str) -> Job | None:
    """A lot's job, once its quote is accepted."""
    return work.session.scalar(select(Job).where(Job.lot_id == lot_id))


def add_job(work: Work, number: str, revision: Revision, lot_id: str) -> Job:
    """A new job, unscheduled."""
    row = Job(
        id=work.new_id(), number=number, lot_id=lot_id, revision_id=revision.id, state="unscheduled",
        notes="", entry={}, minutes=minutes_of(revision), version=1,
    )  # fmt: skip
    work.add(row)
    work.session.refresh(row)
    return row


def minutes_of(revision: Revision) -> int:
    """On site, by the estimate of a sent revision: whole minutes, any begun one counted."""
    elapsed = Decimal((revision.document or {})["estimate"]["minutes"]["elapsed"])
    return int(elapsed.to_integral_value(ROUND_CEILING))


def stops(work: Work, technician_id: str) -> list[Job]:
    """A technician's stops still to be done, by day."""
    query = (
        select(Job).where(Job.technician_id == technician_id, Job.state.in_(("booked", "on site")))
        .order_by(Job.day, Job.number)
    )  # fmt: skip
    return list(work.session.scalars(query))


def stops_on(work: Work, technician_id: str, day: date) -> list[Job]:
    """A technician's stops of one day, done or not."""
    query = (
        select(Job).where(Job.technician_id == technician_id, Job.day == day, Job.sheet.is_not(None))
        .order_by(Job.number)
    )  # fmt: skip
    return list(work.session.scalars(query))


def stops_done(work: Work, technician_id: str, limit: int = 20) -> list[Job]:
    """A technician's stops that are treated, newest first."""
    query = (
        select(Job).where(Job.technician_id == technician_id, Job.state.in_(("treated", "signed off")))
        .order_by(Job.day.desc(), Job.number.desc()).limit(limit)
    )  # fmt: skip
    return list(work.session.scalars(query))


def record_of(work: Work, lot_id: str) -> TreatmentRecord | None:
    """A lot's treatment record."""
    return work.session.scalar(select(TreatmentRecord).where(TreatmentRecord.lot_id == lot_id))


def treated_in(work: Work, subdivision_id: str, *, before: str) -> list[tuple[str, str]]:
    """Lots of a subdivision that were marked before a record: their names and days of treatment, in order.

    Of those marked within ten days before, since a stop is entered no later; a record that was let go says
    no day any more.
    """
    own = work.session.execute(
        select(TreatmentRecord.marked_at, TreatmentRecord.number).where(TreatmentRecord.number == before)
    ).one()
    at, number = TreatmentRecord.marked_at, TreatmentRecord.number
    query = (
        select(Lot.name, TreatmentRecord.document).join(Lot, Lot.id == TreatmentRecord.lot_id)
        .where(
            Lot.subdivision_id == subdivision_id, at >= own.marked_at - timedelta(days=10),
            (at < own.marked_at) | ((at == own.marked_at) & (number < own.number)),
        )
        .order_by(at, number)
    )  # fmt: skip
    return [(name, said.get("treated_on", "")) for name, said in work.session.execute(query)]


def add_record(
    work: Work, job: Job, number: str, document: dict[str, Any], fingerprint: str, by: str
) -> TreatmentRecord:
    """The treatment record of a job."""
    row = TreatmentRecord(
        id=work.new_id(), number=number, job_id=job.id, lot_id=job.lot_id, document=document,
        fingerprint=fingerprint,
        marked_by=by, marked_at=work.now,
    )  # fmt: skip
    work.put(row)
    return row
