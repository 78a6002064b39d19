"""The office books a technician and a day, moves it, or calls it off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.lot_state import builder_of, lot_name, lot_to_change, place_of, restage
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.quoting import quote_document
from portal.acts.trail import mail, mail_builder, note
from portal.core.documents import FieldSheet, from_stored, to_stored
from portal.core.errors import BadInput, Problem, refuse
from portal.core.journey import JOB, move
from portal.core.words import say
from portal.store import jobs, people, reads
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
    parts: Parts,
    who: Actor,
    lot_id: str,
    version: int,
    technician_id: str,
    day: date | None,
    notes: str,
    reason: str,
) -> None:
    """Book a technician and a day, or move the booking. Past the open frame it needs a reason, which is kept."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        job = _job(work, lot)
        technician = next((p for p in people.persons(work, kind="technician") if p.id == technician_id), None)
        _check_booking(parts, lot, technician, day, notes, reason)
        assert technician is not None and day is not None
        moved = job.state == "booked"
        job.state = move(JOB, job.state, "booked")
        job.technician_id, job.technician, job.day, job.notes = technician.id, technician, day, notes
        job.sheet = to_stored(_sheet(lot, job))
        note(work, who, "moved" if moved else "booked", job.number, lot.id, day=day.isoformat(),
             technician=technician.name, reason=reason)  # fmt: skip
        mail_builder(parts, work, "booked", lot.company_id, lot.id, lot=lot_name(lot), day=day, moved=moved,
                     technician=technician.name, link=parts.links.builder_lot(lot.id))  # fmt: skip
        mail(parts, work, "stop_booked", technician.email, lot.id, name=technician.name, lot=lot_name(lot), day=day,
             link=parts.links.stop(job.id))  # fmt: skip
        restage(work, lot)


def _check_booking(
    parts: Parts, lot: Any, technician: Any, day: date | None, notes: str, reason: str
) -> None:
    problems = []
    if technician is None:
        problems.append(Problem("technician", say("Choose a technician.")))
    if day is None:
        problems.append(Problem("day", say("Choose a day.")))
    elif day < parts.today():
        problems.append(
            Problem("day", say("{day} is over. Choose today or a later day.", day=day.isoformat()))
        )
    elif lot.insulation_starts and day >= lot.insulation_starts and not reason:
        problems.append(Problem("reason", say(
            "Insulation starts on {day}, and the frame is closed then. To book this day all the same, give the reason.",
            day=lot.insulation_starts.isoformat(),
        )))  # fmt: skip
    if len(notes) > 4000:
        problems.append(Problem("notes", say("At most {limit} characters, please.", limit=4000)))
    if problems:
        raise BadInput(problems)


def _sheet(lot: Any, job: Any) -> FieldSheet:
    """The field sheet as it stands when booked: from the accepted quote, frozen until booked anew."""
    quote = quote_document(job.revision)
    return FieldSheet(
        number=job.number, place=place_of(lot), builder=builder_of(lot, quote.builder.asked_by), office=quote.office,
        technician=job.technician.name, day=job.day, quote=quote.name, house=quote.house, estimate=quote.estimate,
        walls=quote.walls, product=quote.product, notes=job.notes,
    )  # fmt: skip


def field_sheet(job: Any) -> FieldSheet:
    """The field sheet of a booked job."""
    return from_stored(FieldSheet, job.sheet)


def call_off(parts: Parts, who: Actor, lot_id: str, version: int, reason: str) -> None:
    """Take the booking back, with a reason: the lot stands to be booked again."""
    must_be(who, "office")
    if not reason:
        raise BadInput([Problem("reason", say("Give the reason: it is kept, and the builder is told."))])
    if len(reason) > 2000:
        raise BadInput([Problem("reason", say("At most {limit} characters, please.", limit=2000))])
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        job = _job(work, lot)
        if job.state not in ("booked", "on site"):
            raise refuse("It is {now}, so it cannot become {to}.", now=job.state, to="unscheduled")
        technician, day = job.technician, job.day
        job.state, job.technician_id, job.technician, job.day, job.sheet = (
            "unscheduled",
            None,
            None,
            None,
            None,
        )
        note(work, who, "called off", job.number, lot.id, reason=reason)
        mail_builder(parts, work, "called_off", lot.company_id, lot.id, lot=lot_name(lot), day=day, reason=reason,
                     link=parts.links.builder_lot(lot.id))  # fmt: skip
        mail(parts, work, "called_off", technician.email, lot.id, name=technician.name, lot=lot_name(lot), day=day,
             reason=reason, link="")  # fmt: skip
        restage(work, lot)


def crew_days(parts: Parts, who: Actor) -> list[reads.StopRow]:
    """What is to be booked and what is booked, by day."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return reads.stops(work, ("unscheduled", "booked", "on site"))
