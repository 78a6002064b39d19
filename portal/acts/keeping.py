"""Until when a record is kept, and letting it go after that day. Also what a record would lack."""

from __future__ import annotations

from datetime import date
from typing import Any

from portal.acts.lot_state import lot_to_change, restage
from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.trail import note
from portal.core.cover.kept import USUAL_YEARS, kept_until
from portal.core.documents import TreatmentDocument, WarrantyDocument, from_stored, paper_mark
from portal.core.documents.notice import DEFAULT
from portal.core.errors import refuse
from portal.core.treatment.gaps import Gap, gaps
from portal.store import field, filing, jobs, people, quotes, records, trail, warranties
from portal.store.papers import OF_RECORD
from portal.store.transaction import Work


def keep_years(firm: dict[str, Any]) -> int:
    """How many years a record is kept, by an edition of the firm."""
    entered = firm.get("keep_years", "")
    return USUAL_YEARS if entered == "" else int(entered)


def notice_size(firm: dict[str, Any]) -> str:
    """How large a posted notice is, by an edition of the firm."""
    return str(firm.get("notice_size") or DEFAULT)


def until_of(record: TreatmentDocument, warranty: WarrantyDocument, ends_on: date | None) -> date | None:
    """The last day on which a record must be kept; None where that never comes."""
    return kept_until(record.treated_on, record.kept_years, warranty.terms.years, ends_on)


def forget_record(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Let a record go whose time is over: all it said and was made from, its pages, papers and photos.

    An owner's act. Its number and the fingerprints stay, as do the invoice, the warranty and the history.
    """
    must_be_owner(who)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        record, warranty = jobs.record_of(work, lot.id), warranties.warranty_of(work, lot.id)
        if record is None or warranty is None or not record.document:
            raise refuse("There is no treatment record to let go.")
        until = until_of(
            from_stored(TreatmentDocument, record.document),
            from_stored(WarrantyDocument, warranty.document), warranty.ends_on,
        )  # fmt: skip
        _check_over(until, parts.today())
        assert until is not None
        lost = _blobs_of(work, lot.id, record)
        records.forget(work, record, who.name, until)
        field.forget(work, record.job_id)
        filing.forget_record(work, warranty.id)
        job = jobs.job_of(work, lot.id)
        assert job is not None
        job.entry = {}
        note(work, who, "forgotten", record.number, lot.id, day=until.isoformat())
        restage(work, lot)
    for sha256 in lost:  # only once the line that allows it is there for good
        parts.blobs.drop(sha256)


def _check_over(until: date | None, today: date) -> None:
    if until is None:
        raise refuse("The warranty holds for the life of the structure, and its record is kept as long.")
    if today <= until:
        raise refuse("The record has to be kept through {day}. It can be let go after that.", day=until)


def _blobs_of(work: Work, lot_id: str, record: Any) -> set[str]:
    """What is kept outside of the database: papers of the record as it stands, and its photos."""
    rows = records.pages(work, lot_id)
    found = set()
    for upto in range(len(rows) + 1):
        pages = [row.document | {"fingerprint": row.fingerprint} for row in rows[:upto]]
        beside = {"fingerprint": record.fingerprint} | ({"pages": pages} if pages else {})
        marks = [(kind, paper_mark(kind, record.fingerprint, beside)) for kind in OF_RECORD]
        found |= {trail.kept_paper(work, kind, mark) for kind, mark in marks}
    return {sha256 for sha256 in found if sha256} | field.blobs_of_one(work, record.job_id)


def lacking(parts: Parts, who: Actor, lot_id: str) -> tuple[Gap, ...]:
    """What the record of a lot would lack as the settings stand, whoever of the technicians is sent."""
    must_be(who, "office")
    with parts.store.reading() as work:
        lot = lot_to_change(work, who, lot_id)
        known = _settings(parts, work, lot)
        found = list(gaps(known))
        job = jobs.job_of(work, lot.id)
        sent = [job.technician] if job and job.technician else people.persons(work, kind="technician")
        for technician in sent:
            found += gaps({"technician": {"name": technician.name, "certificate": technician.certificate}})
        return tuple(found)


def lacking_at(parts: Parts, work: Work, job: Any) -> tuple[Gap, ...]:
    """What the record of a booked job would lack as the settings stand."""
    known = _settings(parts, work, job.lot)
    if job.technician:
        known["technician"] = {"name": job.technician.name, "certificate": job.technician.certificate}
    return gaps(known)


def _settings(parts: Parts, work: Work, lot: Any) -> dict[str, dict[str, object]]:
    product = quotes.edition_on(work, "product", parts.today()).document
    firm = quotes.edition_on(work, "firm", parts.today()).document
    company = lot.company
    return {
        "firm": firm, "product": product, "builder": {"name": company.name, "address": company.address},
    }  # fmt: skip
