"""Finds and adds the further pages of treatment records, and lets a record go when its time is over."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import bindparam, func, select, update
from sqlalchemy.orm import lazyload

from portal.store.tables import ForgottenRecord, Job, Person, RecordPage, Revision, TreatmentRecord
from portal.store.transaction import Work

_PAGES = (
    select(RecordPage)
    .join(TreatmentRecord, TreatmentRecord.id == RecordPage.record_id)
    .where(TreatmentRecord.lot_id == bindparam("lot_id"))
    .order_by(RecordPage.number)
)


def pages(work: Work, lot_id: str) -> list[RecordPage]:
    """The further pages of a lot's record, in their order."""
    return list(work.session.scalars(_PAGES, {"lot_id": lot_id}))


def add_page(
    work: Work, record_id: str, number: int, kind: str, document: dict[str, Any], fingerprint: str,
    person_id: str,
) -> RecordPage:  # fmt: skip
    """The next page of a record. Of two at once the second is refused by the number."""
    row = RecordPage(
        id=work.new_id(), record_id=record_id, number=number, kind=kind, document=document,
        fingerprint=fingerprint, person_id=person_id, made_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def sent_back_to(work: Work, technician_id: str) -> list[tuple[Job, RecordPage]]:
    """A technician's stops whose record was sent back and not explained yet, with the page that says why."""
    newest = (
        select(RecordPage.record_id, func.max(RecordPage.number).label("number"))
        .group_by(RecordPage.record_id)
        .subquery()
    )
    query = (
        select(Job, RecordPage)
        .join(TreatmentRecord, TreatmentRecord.job_id == Job.id)
        .join(RecordPage, RecordPage.record_id == TreatmentRecord.id)
        .join(newest, (newest.c.record_id == RecordPage.record_id) & (newest.c.number == RecordPage.number))
        .where(Job.technician_id == technician_id, Job.state == "treated", RecordPage.kind == "sent back")
        .order_by(RecordPage.made_at)
    )
    return [(job, page) for job, page in work.session.execute(query)]


def newest_pages(work: Work, job_ids: Iterable[str]) -> dict[str, str]:
    """By job, the kind of the newest further page of its record; jobs without one are left out."""
    query = (
        select(TreatmentRecord.job_id, RecordPage.kind)
        .join(RecordPage, RecordPage.record_id == TreatmentRecord.id)
        .where(TreatmentRecord.job_id.in_(list(job_ids)))
        .order_by(RecordPage.number)
    )
    return {row.job_id: row.kind for row in work.session.execute(query)}


def forget(work: Work, record: TreatmentRecord, by: str, kept_until: date) -> None:
    """Let go of what a record said. Its number, its fingerprint and its pages' fingerprints stay."""
    work.add(ForgottenRecord(record_id=record.id, by=by, kept_until=kept_until, forgotten_at=work.now))
    work.session.execute(update(RecordPage).where(RecordPage.record_id == record.id).values(document={}))
    work.session.execute(update(TreatmentRecord).where(TreatmentRecord.id == record.id).values(document={}))


#: A year or two of a crew's work: what is older was done by other hands, with other tools.
MOST_FINISHED = 500


def finished(work: Work) -> list[tuple[TreatmentRecord, Revision, Person | None]]:
    """The newest records that were not let go, with the quote they were done by and their technician."""
    query = (
        select(TreatmentRecord, Revision, Person)
        .join(Job, Job.id == TreatmentRecord.job_id)
        .join(Revision, Revision.id == Job.revision_id)
        .outerjoin(Person, Person.id == Job.technician_id)
        .options(lazyload("*"))
        .order_by(TreatmentRecord.marked_at.desc(), TreatmentRecord.id)
        .limit(MOST_FINISHED)
    )
    rows = work.session.execute(query)
    return [(record, revision, who) for record, revision, who in rows if record.document]


def amended_in(work: Work, subjects: Iterable[str]) -> set[str]:
    """The records of which a page says that one of these is otherwise, by id."""
    wanted = set(subjects)
    rows = work.session.execute(
        select(RecordPage.record_id, RecordPage.document).where(RecordPage.kind != "sent back")
    )
    return {record_id for record_id, said in rows if said.get("subject") in wanted and said.get("now")}
