"""The technician's stops: arriving, entering what was done, and marking the job treated."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.amending import is_waiting
from portal.acts.billing import bill, hold_package_of, settle_when_nothing_is_owed
from portal.acts.booking import field_sheet
from portal.acts.covering import promise
from portal.acts.entering import as_merged, clock_ahead, early, own_job, type_in
from portal.acts.keeping import keep_years, lacking_at, notice_size
from portal.acts.lot_state import builder_of, lot_name, restage
from portal.acts.money_told import tell_invoice
from portal.acts.offering import quote_document
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.photographing import PhotoView, for_record, photographed, photos_of
from portal.acts.tied_treated import addition_treated, treated_again
from portal.acts.trail import mail_builder, mail_office, note, once
from portal.core.documents import (
    Builder,
    FieldSheet,
    QuoteDocument,
    TreatmentDocument,
    fingerprint,
    from_stored,
    to_stored,
)
from portal.core.errors import BadInput, Problem, refuse
from portal.core.journey import JOB, move
from portal.core.treatment import steps
from portal.core.treatment.entries import Merged, clocks_off, conflict_problems, merge, words_problems
from portal.core.treatment.evidence import Asked, Evidence, read_evidence
from portal.core.treatment.gaps import Gap
from portal.core.treatment.steps import too_soon
from portal.core.words import say
from portal.store import field, jobs, lots, owed, quotes
from portal.store.transaction import Work

#: How long after its day a stop may still be entered: a phone found a signal again, a weekend lay between.
LATE_DAYS = 7


@dataclass(frozen=True, slots=True)
class Stop:
    """A stop as its technician sees it: the sheet, and what was entered so far.

    `merged` and `photos` are of the one stop that is opened, not of a list; `seen` numbers its newest entry.
    """

    job_id: str
    lot_id: str
    number: str
    state: str
    day: date
    version: int
    sheet: FieldSheet
    entry: dict[str, str]
    certificate: str
    record: str = ""
    merged: Merged | None = None
    seen: int = 0
    photos: tuple[PhotoView, ...] = ()
    lacks: tuple[Gap, ...] = ()
    supervisor: str = ""


def _stop(job: Any, record: str = "") -> Stop:
    technician = job.technician
    certificate = technician.certificate if technician else ""
    return Stop(
        job.id, job.lot_id, job.number, job.state, job.day, job.version, field_sheet(job), job.entry,
        certificate, record, supervisor=technician.supervisor if technician else "",
    )  # fmt: skip


def stop_of_steps(sheet: FieldSheet) -> steps.Stop:
    """What the steps of a stop depend on."""
    return steps.Stop(
        sheet.walls, bool(Decimal(sheet.estimate["feet"]["interior"])),
        sheet.place.foundation == "crawl space", len(sheet.estimate["product"]["batches"]),
    )  # fmt: skip


def my_stops(parts: Parts, who: Actor) -> tuple[list[Stop], list[Stop]]:
    """The stops still to be done, by day, and the newest of those done."""
    must_be(who, "technician")
    assert who.person_id
    with parts.store.reading() as work:
        open_stops = [_stop(job) for job in jobs.stops(work, who.person_id)]
        return open_stops, [_stop(job) for job in jobs.stops_done(work, who.person_id)]


def stop(parts: Parts, who: Actor, job_id: str) -> Stop:
    """One of the technician's own stops; another's is not there at all."""
    must_be(who, "technician")
    with parts.store.reading() as work:
        job = jobs.job(work, job_id, technician_id=who.person_id)
        record = jobs.record_of(work, job.lot_id)
        found = _stop(job, record.number if record else "")
        merged, seen = as_merged(work, job), field.last_number(work, job.id)
        lacks, photos = lacking_at(parts, work, job), photos_of(work, job)
        return replace(found, merged=merged, seen=seen, photos=photos, lacks=lacks)


def arrive(
    parts: Parts, who: Actor, job_id: str, entry: dict[str, str] | None = None, seen: int | None = None
) -> None:
    """The technician is on site; what was typed before is kept. Twice is once."""
    with parts.store.writing() as work:
        job = own_job(work, who, job_id)
        if job.state == "on site":
            return
        job.state = move(JOB, job.state, "on site")
        local = work.now.astimezone(parts.zone)
        kept = job.entry | (entry or {})
        if not kept.get("arrived"):
            kept |= {"arrived": f"{local:%H:%M}", "day": local.date().isoformat()}
        type_in(parts, work, who, job, kept, seen)
        note(work, who, "arrived", job.number, job.lot_id)
        restage(work, job.lot)


def keep(parts: Parts, who: Actor, job_id: str, entry: dict[str, str], seen: int | None = None) -> None:
    """Keep what was typed so far, whole or not. `seen`: the newest entry that the form was shown."""
    with parts.store.writing() as work:
        type_in(parts, work, who, _open_stop(work, who, job_id), entry, seen)


def keep_with_time(
    parts: Parts, who: Actor, job_id: str, entry: dict[str, str], at: str, seen: int | None = None
) -> None:
    """Keep what was typed so far, and the time it is now in the office's zone in the field `at`.

    Raises `BadInput` where that would start a second coat before the first is dry; the rest is kept.
    """
    if at != "arrived" and at.rpartition(".")[2] not in ("start", "end"):
        raise BadInput([Problem(at, say("There is no time to enter here."))])
    with parts.store.writing() as work:
        job = _open_stop(work, who, job_id)
        clock = f"{work.now.astimezone(parts.zone):%H:%M}"
        why = early(job, entry, at, clock) or too_soon(stop_of_steps(field_sheet(job)), entry, at)
        type_in(parts, work, who, job, entry if why else entry | {at: clock}, seen)
    if why:
        raise BadInput([Problem(at, why)])


def keep_as_quoted(
    parts: Parts, who: Actor, job_id: str, entry: dict[str, str], seen: int | None = None
) -> None:
    """Keep what was typed so far, and every wall that has no mark yet as it was quoted."""
    with parts.store.writing() as work:
        job = _open_stop(work, who, job_id)
        quoted = {f"found.{wall.key}": wall.status for wall in field_sheet(job).walls}
        left = {at: status for at, status in quoted.items() if not entry.get(at)}
        type_in(parts, work, who, job, entry | left, seen)


def _open_stop(work: Work, who: Actor, job_id: str) -> Any:
    job = own_job(work, who, job_id)
    if job.state not in ("booked", "on site"):
        raise refuse("This stop is already {state}.", state=job.state)
    return job


def mark_treated(
    parts: Parts, who: Actor, job_id: str, entry: dict[str, str], once_key: str, seen: int | None = None
) -> None:
    """Mark the job treated: record, invoice and held warranty come to be in this one transaction.

    Raises `BadInput` with everything the entry lacks; what was typed is kept all the same.
    """

    def do(work: Work) -> dict[str, Any]:
        hold_package_of(work, job_id)
        job = _open_stop(work, who, job_id)
        type_in(parts, work, who, job, entry, seen)
        _treat(parts, work, who, job)
        return {}

    try:
        once(parts, who, f"treat {job_id}", once_key, do, entry)
    except BadInput:
        keep(parts, who, job_id, entry, seen)
        raise


def mark_kept(parts: Parts, who: Actor, job_id: str, once_key: str) -> None:
    """Mark the job treated by what was kept of it before, as a phone does that has sent all it had."""

    def do(work: Work) -> dict[str, Any]:
        hold_package_of(work, job_id)
        _treat(parts, work, who, _open_stop(work, who, job_id))
        return {}

    once(parts, who, f"treat {job_id}", once_key, do)


def _treat(parts: Parts, work: Work, who: Actor, job: Any) -> None:
    quote = quote_document(job.revision)
    evidence, day = _read(parts, work, job, quote)
    job.state = move(JOB, "on site" if job.state == "booked" else job.state, "treated")
    _finish(parts, work, who, job, quote, evidence, day)


def _read(parts: Parts, work: Work, job: Any, quote: QuoteDocument) -> tuple[Evidence, date]:
    """The entry and its day. Raises `BadInput` with the problems of both together."""
    entries = field.entries(work, job.id)
    day, problems = _day(parts, job, job.entry)
    problems += conflict_problems(merge(entries)) + words_problems(job.entry)
    asked = _asked(parts, quote, day, parts.now() + clock_ahead(entries), photographed(work, job))
    try:
        evidence = read_evidence(job.entry, asked)
    except BadInput as bad:
        raise BadInput([*problems, *bad.problems]) from None
    if problems:
        raise BadInput(problems)
    return evidence, day


def _day(parts: Parts, job: Any, entry: dict[str, str]) -> tuple[date, list[Problem]]:
    """The day of the treatment: what was entered, else the booked day; and what is wrong with it.

    Where it cannot be used, the day before today stands in: the rest can still be checked by it.
    """
    typed, today = entry.get("day", "").strip(), parts.today()
    accepted = job.revision.decided_at.astimezone(parts.zone).date()
    try:
        day = date.fromisoformat(typed) if typed else job.day
    except ValueError:
        says = say("“{read}” is no day; write it as 2027-03-09.", read=typed[:20])
    else:
        if today - timedelta(days=LATE_DAYS) <= day <= today and day >= accepted:
            return day, []
        if day > today:
            says = say("{day} has not come yet.", day=day)
        elif day < accepted:
            says = say("The quote was accepted on {day}: nothing was done before.", day=accepted)
        else:
            says = say("{day} is more than {n} days ago: ask the office.", day=day, n=LATE_DAYS)
    return today - timedelta(days=1), [Problem("day", says)]


def _asked(parts: Parts, quote: QuoteDocument, day: date, now: datetime, shown: frozenset[str]) -> Asked:
    return Asked(
        walls=quote.walls, interior_feet=Decimal(quote.estimate["feet"]["interior"]),
        crawl_space=quote.place.foundation == "crawl space", day=day, zone=parts.zone, now=now,
        dry_minutes=quote.product.dry_minutes, planned=Decimal(quote.estimate["product"]["concentrate"]),
        water_per_concentrate=quote.product.water_per_concentrate,
        planned_dye=Decimal(quote.estimate["product"]["dye_floz"]), photographed=shown,
    )  # fmt: skip


def _finish(
    parts: Parts, work: Work, who: Actor, job: Any, quote: QuoteDocument, evidence: Evidence, day: date
) -> None:
    year, lot = parts.today().year, job.lot
    document = _record(parts, work, job, quote, evidence, day, owed.next_number(work, "TR", year))
    stored = to_stored(document)
    record = jobs.add_record(work, job, document.number, stored, fingerprint(stored), who.name)
    note(work, who, "treated", document.number, job.lot_id, fingerprint=record.fingerprint)
    invoice = None
    if lot.kind == "retreatment":
        treated_again(parts, work, who, lot, document)
    else:
        invoice = bill(parts, work, who, job, quote, document)
        promise(parts, work, who, job, quote, document, record)
        if lot.kind == "addition":
            addition_treated(parts, work, who, lot)
    if invoice is not None:
        settle_when_nothing_is_owed(parts, work, who, invoice)
    _tell_treated(parts, work, who, lot, invoice, quote, document)
    restage(work, lot)


def _tell_treated(
    parts: Parts, work: Work, who: Actor, lot: Any, invoice: Any, quote: QuoteDocument,
    document: TreatmentDocument,
) -> None:  # fmt: skip
    named = lot_name(lot)
    treated: dict[str, Any] = {"lot": named, "treated_on": document.treated_on, "record": document.number}
    # A package's invoice is told of by itself: it is of other lots too.
    own = invoice if invoice is not None and invoice.kind == "treatment" else None
    billed: dict[str, Any] = {
        "invoice": own.number if own else None, "total": own.total if own else None,
        "due_on": own.due_on if own else None,
    }  # fmt: skip
    link = parts.links.builder_lot(lot.id)
    told = mail_builder(
        parts,
        work,
        "treated",
        lot.company_id,
        lot.id,
        office=quote.office,
        link=link,
        money=billed,
        **treated,
    )
    if own is not None:
        # Whoever sees money and does not care for treatments still hears what is owed; nobody hears twice.
        mail_builder(
            parts, work, "billed", lot.company_id, lot.id, office=quote.office, link=link, but=told,
            lot=named, treated_on=document.treated_on, **billed,
        )  # fmt: skip
    elif invoice is not None:
        tell_invoice(parts, work, invoice)
    mail_office(
        parts, work, "treated_office", lot.id, by=who.name, problems=document.problems,
        link=parts.links.office_lot(lot.id), **treated, **billed,
    )  # fmt: skip


def _record(
    parts: Parts, work: Work, job: Any, quote: QuoteDocument, evidence: Evidence, day: date, number: str
) -> TreatmentDocument:
    levels, firm = quote.estimate["levels"], quotes.edition_on(work, "firm", parts.today()).document
    areas = [Decimal(level["floor_area"]) * int(level["repeat"]) for level in levels if "floor_area" in level]
    return TreatmentDocument(
        number=number, place=quote.place, builder=_builder(job, quote), office=quote.office, quote=quote.name,
        treated_on=day, zone=str(parts.zone), arrived_at=evidence.arrived, finished_at=evidence.finished,
        walls=evidence.walls, interior_feet=Decimal(quote.estimate["feet"]["interior"]),
        interior_start=evidence.interior[0] if evidence.interior else None,
        interior_end=evidence.interior[1] if evidence.interior else None,
        total_feet=Decimal(quote.estimate["feet"]["total"]),
        floor_area=sum(areas, Decimal(0)) if len(areas) == len(levels) else None,
        product=quote.product, product_name=evidence.product_name, registration=evidence.registration,
        container_lot=evidence.container_lot, amounts=evidence.amounts, applicator=evidence.applicator,
        method=evidence.method, target="wood-destroying insects and decay fungi, as on the product's label",
        conditions=evidence.conditions, problems=evidence.problems,
        checks=tuple(str(said) for said in evidence.checks), signed_by=evidence.signed_by, house=quote.house,
        photos=for_record(work, job), left_over=evidence.left_over,
        clocks_off=clocks_off(field.entries(work, job.id)), kept_years=keep_years(firm),
        notice_size=notice_size(firm),
    )  # fmt: skip


def _builder(job: Any, quote: QuoteDocument) -> Builder:
    """The builder as quoted; where its address was entered only later, with that."""
    return quote.builder if quote.builder.address else builder_of(job.lot, quote.builder.asked_by)


def sign_off(parts: Parts, who: Actor, lot_id: str) -> None:
    """The office has read the treatment record and signs it off."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lots.locked(work, lot_id)
        job = jobs.job_of(work, lot.id)
        if job is None:
            raise refuse("There is no treatment to sign off.")
        if is_waiting(work, lot.id):
            raise refuse("The record is sent back: sign it off once its technician has added a page.")
        job.state = move(JOB, job.state, "signed off")
        note(work, who, "signed off", job.number, lot.id)
        restage(work, lot)


def record_document(record: Any) -> TreatmentDocument:
    """The frozen document of a treatment record."""
    return from_stored(TreatmentDocument, record.document)
