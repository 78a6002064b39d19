"""A record sent back, explained, and amended: always by a further page, never by a changed word."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from portal.acts.lot_state import lot_name, lot_to_change, restage
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import mail, mail_builder, mail_office, note, once
from portal.core.documents import RecordPageDocument, fingerprint, from_stored, to_stored
from portal.core.documents.pages import LONGEST, is_sent_back, read_page
from portal.core.errors import refuse
from portal.store import jobs, records
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class PageTyped:
    """What a person says on a page."""

    subject: str = ""
    was: str = ""
    now: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class SentBack:
    """A technician's stop whose record was sent back, and why."""

    job_id: str
    record: str
    lot: str
    page: RecordPageDocument


def pages_of(work: Work, lot_id: str) -> tuple[RecordPageDocument, ...]:
    """The further pages of a lot's record, in their order."""
    return tuple(page_document(row) for row in records.pages(work, lot_id) if row.document)


def page_document(row: Any) -> RecordPageDocument:
    """The frozen document of a page."""
    return from_stored(RecordPageDocument, row.document)


def send_back(parts: Parts, who: Actor, lot_id: str, version: int, why: str) -> None:
    """The office asks about a record that is not signed off. Invoice and warranty stay as they are."""
    must_be(who, "office")
    typed = _read("sent back", PageTyped(why=why))
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        job, record = _of(work, lot.id, "treated")
        if is_waiting(work, lot.id):
            raise refuse("The record is sent back already, and waits for its technician.")
        page = _add(work, who, record, "sent back", typed)
        note(work, who, "sent back", record.number, lot.id, reason=page.why)
        if job.technician is not None:
            mail(
                parts, work, "sent_back", job.technician.email, lot.id, name=job.technician.name,
                lot=lot_name(lot), by=who.name, reason=page.why, record=record.number,
                link=parts.links.stop(job.id),
            )  # fmt: skip
        restage(work, lot)


def explain(parts: Parts, who: Actor, job_id: str, typed: PageTyped, once_key: str) -> None:
    """The technician answers a record that was sent back, by a further page."""
    must_be(who, "technician")
    said = _read("explained", typed)

    def do(work: Work) -> dict[str, Any]:
        job = jobs.job(work, job_id, technician_id=who.person_id)
        _, record = _of(work, job.lot_id, "treated")
        if not is_waiting(work, job.lot_id):
            raise refuse("The record is not sent back. Where something is wrong, call the office.")
        page = _add(work, who, record, "explained", said)
        note(work, who, "explained", f"{record.number}/{page.number}", job.lot_id)
        mail_office(
            parts, work, "explained", job.lot_id, by=who.name, lot=lot_name(job.lot), record=record.number,
            reason=page.why, link=parts.links.office_lot(job.lot_id),
        )  # fmt: skip
        restage(work, job.lot)
        return {}

    once(parts, who, f"explain {job_id}", once_key, do, [typed.subject, typed.was, typed.now, typed.why])


def amend(parts: Parts, who: Actor, lot_id: str, version: int, typed: PageTyped) -> None:
    """The office says by a further page what is otherwise in a record that was signed off."""
    must_be(who, "office")
    said = _read("amended", typed)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        _, record = _of(work, lot.id, "signed off")
        page = _add(work, who, record, "amended", said)
        note(work, who, "amended", f"{record.number}/{page.number}", lot.id, reason=page.why)
        mail_builder(
            parts, work, "amended", lot.company_id, lot.id, lot=lot_name(lot), record=record.number,
            page=page.number, was=page.was, now=page.now, reason=page.why,
            link=parts.links.builder_lot(lot.id),
        )  # fmt: skip
        restage(work, lot)


def is_waiting(work: Work, lot_id: str) -> bool:
    """Whether a lot's record was sent back and is not explained yet."""
    return is_sent_back(_kinds(work, lot_id))


def sent_back_to_me(parts: Parts, who: Actor) -> list[SentBack]:
    """The technician's own records that were sent back and wait for a page."""
    must_be(who, "technician")
    assert who.person_id
    with parts.store.reading() as work:
        return [
            SentBack(job.id, page_document(row).record, lot_name(job.lot), page_document(row))
            for job, row in records.sent_back_to(work, who.person_id)
        ]


def pages_of_stop(parts: Parts, who: Actor, job_id: str) -> tuple[RecordPageDocument, ...]:
    """The further pages of the record of the technician's own stop."""
    must_be(who, "technician")
    with parts.store.reading() as work:
        return pages_of(work, jobs.job(work, job_id, technician_id=who.person_id).lot_id)


def sent_back_page(parts: Parts, who: Actor, job_id: str) -> SentBack | None:
    """What is asked about the record of this stop, or None."""
    return next((one for one in sent_back_to_me(parts, who) if one.job_id == job_id), None)


def _of(work: Work, lot_id: str, state: str) -> tuple[Any, Any]:
    job, record = jobs.job_of(work, lot_id), jobs.record_of(work, lot_id)
    if job is None or record is None:
        raise refuse("There is no treatment record yet.")
    if not record.document:
        raise refuse("The record was let go: its time was over.")
    if job.state != state and state == "treated":
        raise refuse("The record is signed off: it is amended by a further page.")
    if job.state != state:
        raise refuse("The record is not signed off yet: send it back, and its technician adds a page.")
    return job, record


def _read(kind: str, typed: PageTyped) -> tuple[str, str, str, str]:
    """What a page says. Raises `BadInput`, also for what could not be printed."""
    texts = {"was": typed.was, "now": typed.now, "why": typed.why}
    check(*(text_problems(at, text, LONGEST) for at, text in texts.items()))
    return read_page(kind, typed.subject, typed.was, typed.now, typed.why)


def _kinds(work: Work, lot_id: str) -> tuple[str, ...]:
    return tuple(row.kind for row in records.pages(work, lot_id))


def _add(
    work: Work, who: Actor, record: Any, kind: str, said: tuple[str, str, str, str]
) -> RecordPageDocument:
    before = records.pages(work, record.lot_id)
    subject, was, now, why = said
    page = RecordPageDocument(
        record=record.number, number=len(before) + 1, kind=kind, by=who.name, at=work.now, subject=subject,
        was=was, now=now, why=why, before=before[-1].fingerprint if before else record.fingerprint,
    )  # fmt: skip
    stored = to_stored(page)
    assert who.person_id
    records.add_page(work, record.id, page.number, kind, stored, fingerprint(stored), who.person_id)
    return page
