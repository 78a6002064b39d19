"""Reports of trouble in the office: answered, inspected, decided by the terms, closed, and told of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.registering import RegisterRow
from portal.acts.reporting import LONGEST, keep_photos, photos_read
from portal.acts.texts import check, text_problems
from portal.acts.trail import mail, note, once
from portal.core.cover.trouble import DECISIONS, check_step, may_be_retreated, next_steps
from portal.core.documents import Terms
from portal.core.errors import Problem, Refused
from portal.core.words import Said, say
from portal.store import holders, jobs, lots, quotes, registered, troubles, warranties
from portal.store.registered import RegisterFilter
from portal.store.transaction import Work

#: Of the other houses that a report may concern, so many stand on its page; the register has all.
SHOWN = 50


@dataclass(frozen=True, slots=True)
class StepTyped:
    """What the office enters for a step; which of it is asked for depends on the step."""

    words: str
    day: date | None = None
    person: str = ""
    decision: str = ""
    clauses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepView:
    """A step as the page shows it. Where nobody wrote words, `record` is the number of what says it."""

    kind: str
    at: datetime
    by: str
    words: str
    record: str
    day: date | None
    person: str
    clauses: tuple[str, ...]
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TroubleRow:
    """A report in the list. `late`: the first answer was due and is not there."""

    id: str
    number: str
    place: str
    state: str
    decision: str
    reported_on: date
    age: int
    due_on: date
    late: bool
    same_product: int
    same_day: int


@dataclass(frozen=True, slots=True)
class Retreat:
    """The lot of a re-treatment. It is a job once its walls were agreed on."""

    lot_id: str
    name: str
    version: int
    feet: str
    stage: str
    is_job: bool


@dataclass(frozen=True, slots=True)
class TroubleView:
    """A report, its steps, what may come next, and the treated houses that it may concern."""

    row: TroubleRow
    name: str
    email: str
    phone: str
    lot_id: str
    warranty: str
    warranty_state: str
    terms: str
    covers: tuple[str, ...]
    voids: tuple[str, ...]
    narrows: tuple[str, ...]
    steps: tuple[StepView, ...]
    may: tuple[str, ...]
    #: Of those houses the newest; `row` counts all of them.
    same_product: tuple[RegisterRow, ...]
    same_day: tuple[RegisterRow, ...]
    #: Its product lots, by which the register finds all houses.
    containers: tuple[str, ...]
    #: The lot under which it is treated again, and whether one may be made now.
    retreat: Retreat | None = None
    may_retreat: bool = False


def list_troubles(parts: Parts, who: Actor, *, closed: bool = False) -> list[TroubleRow]:
    """Open reports, oldest first, or those closed."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return _rows(parts, work, troubles.listed(work, closed=closed))


@dataclass(frozen=True, slots=True)
class ReportedHere:
    """A report under one warranty, by its number."""

    id: str
    number: str
    state: str
    reported_on: date


def reported_at(parts: Parts, who: Actor, lot_id: str) -> list[ReportedHere]:
    """All reports under a lot's warranty, the newest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        warranty = warranties.warranty_of(work, lot_id)
        rows = troubles.of_warranty(work, warranty.id) if warranty else []
        return [ReportedHere(row.id, row.number, row.state, row.reported_on) for row in rows]


def count_open(parts: Parts, who: Actor) -> int:
    """How many reports are open."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return troubles.count_open(work)


def trouble(parts: Parts, who: Actor, trouble_id: str) -> TroubleView:
    """A report. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = troubles.trouble(work, trouble_id)
        warranty = warranties.warranty(work, row.warranty_id)
        terms = warranty_document(warranty).terms
        return TroubleView(
            _rows(parts, work, [(row, warranty)])[0], row.name, row.email, row.phone, row.lot_id,
            warranty.number, warranty.state, terms.title, terms.covers, terms.voids, terms.narrows,
            _steps(work, row), _may(row, terms), *_beside(parts, work, row),
            tuple(troubles.used_containers(work, row.warranty_id)), _retreat(work, row),
            row.retreat_lot_id is None and may_be_retreated(row.state, row.decision),
        )  # fmt: skip


def _steps(work: Work, row: Any) -> tuple[StepView, ...]:
    photos: dict[str, list[str]] = {}
    for photo in troubles.photos(work, row.id):
        photos.setdefault(photo.step_id, []).append(photo.id)
    again = jobs.record_of(work, row.retreat_lot_id) if row.retreat_lot_id else None
    return tuple(
        StepView(one.kind, one.at, one.by or row.name, one.words,
                 again.number if again and not one.words else "", one.day, one.person, tuple(one.clauses),
                 tuple(photos.get(one.id, ())))
        for one in troubles.steps(work, row.id)
    )  # fmt: skip


def _may(row: Any, terms: Terms) -> tuple[str, ...]:
    """What may come next by hand."""
    by_record = _done_by_record(row, terms) is not None
    return tuple(one for one in next_steps(row.state, row.decision) if one != "done" or not by_record)


def _done_by_record(row: Any, terms: Terms) -> Said | None:
    """Why it is not written down by hand what was done: a re-treatment's own record says it, or will."""
    if row.retreat_lot_id is not None:
        return say("It is treated again as a job of its own: it is done once that is marked treated.")
    if terms.remedy == "retreat":
        return say("By its terms it is treated again: make the re-treatment. Its record then stands here.")
    return None


def _retreat(work: Work, row: Any) -> Retreat | None:
    if row.retreat_lot_id is None:
        return None
    lot = lots.lot(work, row.retreat_lot_id)
    is_job = quotes.quote_of(work, lot.id) is not None
    return Retreat(lot.id, lot.name, lot.version, lot.feet, lot.stage, is_job)


def _rows(parts: Parts, work: Work, reports: list[tuple[Any, Any]]) -> list[TroubleRow]:
    """Reports, each with its warranty, as frozen records: with two questions, however many there are."""
    ids = [warranty.id for _, warranty in reports]
    product, day = troubles.same_product(work, ids), troubles.same_day(work, ids)
    return [_row(parts, row, found, product.get(found.id, 0), day.get(found.id, 0)) for row, found in reports]


def _row(parts: Parts, row: Any, warranty: Any, same_product: int, same_day: int) -> TroubleRow:
    today, place = parts.today(), warranty_document(warranty).place
    return TroubleRow(
        row.id, row.number, f"{place.address}, {place.city_line}", row.state, row.decision, row.reported_on,
        (today - row.reported_on).days, row.due_on, row.state == "reported" and row.due_on < today,
        same_product, same_day,
    )  # fmt: skip


def _beside(parts: Parts, work: Work, row: Any) -> tuple[tuple[RegisterRow, ...], tuple[RegisterRow, ...]]:
    """The other records of the same product lots, and of the same technician on the same day: the newest."""
    found = troubles.beside(work, row.warranty_id, SHOWN)
    rows = registered.rows(
        work, RegisterFilter(warranty_ids=(*found[0], *found[1])), parts.today(), 2 * SHOWN
    )
    product, day = (tuple(one for one in rows if one.id in ids) for ids in found)
    return product, day


def trouble_photo(parts: Parts, who: Actor, trouble_id: str, photo_id: str, small: bool) -> bytes:
    """A photo of a report, as JPEG. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = troubles.photo(work, trouble_id, photo_id)
        return parts.blobs.get(row.small_sha256 if small else row.sha256)


def take_step(
    parts: Parts, who: Actor, trouble_id: str, step: str, typed: StepTyped, files: tuple[bytes, ...],
    once_key: str,
) -> None:  # fmt: skip
    """Answer, book, write down what was found, decide, write down what was done, close: and tell of it."""
    must_be(who, "office")
    problems = _problems(parts, step, typed)
    pictures = photos_read(files if step == "found" else (), problems)

    def do(work: Work) -> dict[str, Any]:
        row = troubles.trouble(work, trouble_id, held=True)
        check_step(row.state, step, row.decision)
        terms = warranty_document(warranties.warranty(work, row.warranty_id)).terms
        by_record = _done_by_record(row, terms) if step == "done" else None
        if by_record is not None:
            raise Refused(by_record)
        _check_clauses(terms, step, typed)
        if step == "decided":
            row.decision = typed.decision
        made = troubles.add_step(
            work, row, step, who.name, typed.words.strip(), typed.day, typed.person.strip(), typed.clauses
        )
        keep_photos(parts, work, made, pictures)
        note(work, who, f"trouble {step}", row.number, row.lot_id)
        tell(parts, work, row, made)
        return {"step": made.id}

    said = [step, typed.words, typed.day, typed.person, typed.decision, typed.clauses, len(files)]
    once(parts, who, f"trouble step {trouble_id}", once_key, do, said)


def _problems(parts: Parts, step: str, typed: StepTyped) -> list[Problem]:
    missing = say("Write it, as whoever reported will read it.")
    problems = text_problems("words", typed.words, LONGEST, missing)
    problems += text_problems("person", typed.person, 200)
    if step in ("booked", "done"):
        if not typed.person.strip():
            problems.append(Problem("person", say("Enter who.")))
        if typed.day is None:
            problems.append(Problem("day", say("Enter the day.")))
        elif step == "booked" and typed.day < parts.today():
            problems.append(Problem("day", say("This day is over.")))
        elif step == "done" and typed.day > parts.today():
            problems.append(Problem("day", say("This day is still to come.")))
    if step == "decided" and typed.decision not in DECISIONS:
        problems.append(Problem("decision", say("Choose what was decided.")))
    if step == "decided" and not typed.clauses:
        problems.append(Problem("clauses", say("Tick each sentence of the terms that it goes by.")))
    return problems


def _check_clauses(terms: Terms, step: str, typed: StepTyped) -> None:
    known = {*terms.covers, *terms.voids, *terms.narrows}
    if step == "decided" and not set(typed.clauses) <= known:
        check([Problem("clauses", say("The terms of this house do not say that."))])


def tell(parts: Parts, work: Work, row: Any, step: Any, record: str = "") -> None:
    """Tell whoever reported; of the end, the holder on record as well. A `record` says what words do not."""
    warranty = warranties.warranty(work, row.warranty_id)
    said, told = warranty_document(warranty), {row.email: row.name}
    holder = holders.holder_now(work, row.warranty_id)
    if step.kind == "closed" and holder is not None and holder.email:
        told.setdefault(holder.email, holder.name)
    for email, name in told.items():
        mail(parts, work, "trouble_told", email, row.lot_id, name=name, number=row.number, place=said.place,
             step=step.kind, words=step.words, record=record, day=step.day, person=step.person,
             decision=row.decision, clauses=step.clauses, terms=said.terms.title, office=said.office,
             link=parts.links.warranty(warranty.link_token))  # fmt: skip
