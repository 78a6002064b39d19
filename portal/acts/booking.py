"""The office books a technician and a day, moves it, or calls it off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.booking_checks import Why, check_booking, check_why
from portal.acts.calendar_told import told_booked, told_called_off
from portal.acts.entering import forget_arrival
from portal.acts.lot_state import builder_of, lot_name, lot_to_change, place_of, restage
from portal.acts.offering import quote_document
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.trail import mail, mail_builder, note
from portal.core.documents import FieldSheet, from_stored, to_stored
from portal.core.errors import refuse
from portal.core.journey import JOB, move
from portal.store import jobs, people
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class TechnicianRow:
    """A technician who can be booked."""

    id: str
    name: str


def technicians(parts: Parts, who: Actor) -> list[TechnicianRow]:
    """Who can be booked, by name."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return [TechnicianRow(p.id, p.name) for p in people.persons(work, kind="technician")]


def _job(work: Work, lot: Any) -> Any:
    job = jobs.job_of(work, lot.id)
    if job is None:
        raise refuse("There is nothing to book: the quote is not accepted.")
    return job


def book(
    parts: Parts, who: Actor, lot_id: str, version: int, technician_id: str, day: date | None,
    notes: str | None, reason: str, kind: str = "",
) -> None:  # fmt: skip
    """Book a technician and a day, or move it; `notes` of None leaves those that are there.

    Outside the open frame, over the technician's hours and on a day off it takes a reason, which is kept.
    Moving it takes a kind of reason too: the builder reads it.
    """
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        job = _job(work, lot)
        state = move(JOB, job.state, "booked")
        notes = job.notes if notes is None else notes
        technician = people.persons_by_id(work, "technician").get(technician_id)
        why = Why(kind, reason.strip())
        check_booking(parts, work, lot, job, technician, day, notes, why)
        assert technician is not None and day is not None
        before, moved = (job.technician, job.day), job.state in ("booked", "on site")
        job.state = state
        if (job.technician_id, job.day) != (technician.id, day):
            forget_arrival(work, who, job)
        job.technician, job.day, job.notes = technician, day, notes
        job.sheet = to_stored(_sheet(lot, job))
        told_booked(work, lot, job, before[0])
        _tell_booked(parts, work, who, lot, job, before, moved=moved, why=why)
        restage(work, lot)


def _tell_booked(
    parts: Parts, work: Work, who: Actor, lot: Any, job: Any, before: tuple[Any, date | None],
    *, moved: bool, why: Why,
) -> None:  # fmt: skip
    technician, named, day = job.technician, lot_name(lot), job.day
    verb = "moved" if moved else "booked"
    note(
        work, who, verb, job.number, lot.id, day=day.isoformat(), technician=technician.name,
        **({"kind": why.kind} if why.kind else {}), reason=why.words,
    )  # fmt: skip
    mail_builder(
        parts, work, "booked", lot.company_id, lot.id, lot=named, day=day, moved=moved,
        kind=why.kind, reason=why.words, technician=technician.name, link=parts.links.builder_lot(lot.id),
    )  # fmt: skip
    link = parts.links.stop(job.id)
    mail(
        parts, work, "stop_booked", technician.email, lot.id, name=technician.name, lot=named, day=day,
        link=link,
    )  # fmt: skip
    first, first_day = before
    if first is not None and first.id != technician.id:
        _tell_off(parts, work, lot, first, first_day, why)


def _tell_off(parts: Parts, work: Work, lot: Any, technician: Any, day: date | None, why: Why) -> None:
    """The stop is no longer this technician's."""
    mail(
        parts, work, "called_off", technician.email, lot.id, name=technician.name, lot=lot_name(lot), day=day,
        kind=why.kind, reason=why.words, link="",
    )  # fmt: skip


def _sheet(lot: Any, job: Any) -> FieldSheet:
    """The field sheet as it stands when booked: from the accepted quote, frozen until booked anew."""
    quote = quote_document(job.revision)
    return FieldSheet(
        number=job.number, place=place_of(lot), builder=builder_of(lot, quote.builder.asked_by),
        office=quote.office, technician=job.technician.name, day=job.day, quote=quote.name,
        house=quote.house, estimate=quote.estimate, walls=quote.walls, product=quote.product, notes=job.notes,
    )  # fmt: skip


def field_sheet(job: Any) -> FieldSheet:
    """The field sheet of a booked job."""
    return from_stored(FieldSheet, job.sheet)


def call_off(
    parts: Parts, who: Actor, lot_id: str, version: int, reason: str, kind: str = "other"
) -> None:  # fmt: skip
    """Take the booking back, with a reason: the lot stands to be booked again."""
    must_be(who, "office")
    why = Why(kind, reason.strip())
    check_why(why)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        job = _job(work, lot)
        job.state = move(JOB, job.state, "unscheduled")
        technician, day = job.technician, job.day
        job.technician, job.day, job.sheet = None, None, None
        forget_arrival(work, who, job)
        told_called_off(work, lot, job)
        note(work, who, "called off", job.number, lot.id, kind=why.kind, reason=why.words)
        mail_builder(
            parts, work, "called_off", lot.company_id, lot.id, lot=lot_name(lot), day=day,
            kind=why.kind, reason=why.words, link=parts.links.builder_lot(lot.id),
        )  # fmt: skip
        _tell_off(parts, work, lot, technician, day, why)
        restage(work, lot)
