"""The warranty: made held when a lot is treated, brought into force, looked up by a homeowner."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from portal.acts.amending import pages_of
from portal.acts.holder_told import mail_holder
from portal.acts.lot_state import lot_name, number_under, restage
from portal.acts.parts import SYSTEM, Actor, Parts, must_be, must_be_owner
from portal.acts.renewal_told import tell_expired
from portal.acts.slowing import Door
from portal.acts.texts import check, text_problems
from portal.acts.trail import mail_builder, note
from portal.core.cover.filing import filed, find_key
from portal.core.cover.numbers import house_number_key, make_number, read_number
from portal.core.cover.terms import ends_on
from portal.core.documents import (
    QuoteDocument,
    RecordPageDocument,
    TreatmentDocument,
    WarrantyDocument,
    fingerprint,
    from_stored,
    to_stored,
)
from portal.core.documents.pages import HOME
from portal.core.errors import BadInput, NotFound, refuse
from portal.core.journey import WARRANTY, move, state_on
from portal.core.words import say
from portal.store import filing, lots, renewals, trail, warranties
from portal.store.transaction import Work

LOOKUP = Door("warranty", free=5, window=timedelta(hours=1), first_wait=timedelta(seconds=30))
NO_REASON = say("Give the reason: it is kept, and shown with the record.")


#: What of a lot's history whoever lives there reads: nothing of money, and nobody by name.
TIMELINE = (
    "treated", "held", "in force", "amended", "link replaced", "handed on", "expired", "void",
    "trouble reported", "treated again", "trouble closed", "addition treated", "renewed", "renewal withdrawn",
)  # fmt: skip
#: Of these lines the paper's number is told too: of the record, or of the addition's warranty.
NUMBERED = ("treated again", "addition treated")


@dataclass(frozen=True, slots=True)
class Happened:
    """A line of the timeline. The reason stands only with what is the homeowner's to know."""

    at: datetime
    what: str
    reason: str
    number: str = ""


@dataclass(frozen=True, slots=True)
class WarrantyPage:
    """What a homeowner sees: the promise and the treatment, nothing of price or people of the builder.

    `token` is that of its link, which the QR carries.
    """

    token: str
    number: str
    state: str
    reason: str
    begins_on: date | None
    ends_on: date | None
    document: WarrantyDocument
    #: Pages that amended the treatment record in what is shown here.
    amended: tuple[RecordPageDocument, ...] = ()
    timeline: tuple[Happened, ...] = ()


def promise(
    parts: Parts, work: Work, who: Actor, job: Any, quote: QuoteDocument, record: TreatmentDocument, row: Any
) -> None:
    """Make the warranty record, held, in the transaction that marks the job treated."""
    number = make_number(parts.luck.below)
    document = WarrantyDocument(
        number=number, place=quote.place, office=quote.office, treatment=record.number,
        treatment_fingerprint=row.fingerprint, treated_on=record.treated_on, product_name=record.product_name,
        registration=record.registration, walls=record.walls, interior_feet=record.interior_feet,
        total_feet=record.total_feet, certificate=record.applicator.certificate, terms=quote.terms,
        house=record.house,
        added_to=number_under(work, job.lot) if job.lot.kind == "addition" else "",
    )  # fmt: skip
    made = warranties.add_warranty(
        work, number=number, link_token=parts.luck.token(),
        house_key=house_number_key(quote.place.house_number),
        lot_id=job.lot_id, company_id=job.lot.company_id, record_id=row.id, document=to_stored(document),
    )  # fmt: skip
    filing.file_warranty(work, made, filed(
        number, quote.place, job.lot.company.name, technician=record.applicator.name,
        certificate=record.applicator.certificate, container_lot=record.container_lot,
        registration=record.registration, treated_on=record.treated_on,
    ))  # fmt: skip
    note(work, who, "held", number, job.lot_id, fingerprint=fingerprint(to_stored(document)))


def release_when_paid(parts: Parts, work: Work, who: Actor, lot: Any) -> None:
    """Full payment releases the warranty, unless its terms or a person said to keep it held."""
    warranty = warranties.warranty_of(work, lot.id)
    if warranty is None or warranty.state != "held" or warranty.reason:
        return
    if warranty_document(warranty).terms.release == "paid":
        _bring_into_force(parts, work, who, lot, warranty)


def _bring_into_force(parts: Parts, work: Work, who: Actor, lot: Any, warranty: Any) -> None:
    document = warranty_document(warranty)
    warranty.state, warranty.reason = move(WARRANTY, warranty.state, "in force"), ""
    warranty.begins_on = document.treated_on
    warranty.ends_on = ends_on(document.treated_on, document.terms.years)
    note(work, who, "in force", warranty.number, lot.id)
    mail_builder(parts, work, "in_force", lot.company_id, lot.id, lot=lot_name(lot), number=warranty.number,
                 ends_on=warranty.ends_on, link=parts.links.builder_lot(lot.id),
                 find=parts.links.find_warranty())  # fmt: skip
    mail_holder(parts, work, "holder_in_force", warranty, day=warranty.ends_on)


def _held(work: Work, lot_id: str) -> tuple[Any, Any]:
    lot = lots.locked(work, lot_id)
    warranty = warranties.warranty_of(work, lot.id)
    if warranty is None:
        raise refuse("There is no warranty yet: the lot is not treated.")
    return lot, warranty


def release(parts: Parts, who: Actor, lot_id: str) -> None:
    """Bring a held warranty into force by hand."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot, warranty = _held(work, lot_id)
        _bring_into_force(parts, work, who, lot, warranty)
        restage(work, lot)


def keep_held(parts: Parts, who: Actor, lot_id: str, reason: str) -> None:
    """Keep a warranty held although the invoice may be paid, with a reason."""
    must_be(who, "office")
    check(text_problems("reason", reason, 1000, NO_REASON))
    with parts.store.writing() as work:
        lot, warranty = _held(work, lot_id)
        if warranty.state != "held":
            raise refuse("It is {now}, so it cannot become {to}.", now=warranty.state, to="held")
        warranty.reason = reason
        note(work, who, "kept held", warranty.number, lot.id, reason=reason)
        restage(work, lot)


def make_void(parts: Parts, who: Actor, lot_id: str, reason: str) -> None:
    """Make a warranty void by its terms, with a reason that the homeowner will read. An owner's act."""
    must_be_owner(who)
    check(text_problems("reason", reason, 1000, NO_REASON))
    with parts.store.writing() as work:
        lot, warranty = _held(work, lot_id)
        warranty.state, warranty.reason = move(WARRANTY, warranty.state, "void"), reason
        for row in renewals.all_open(work, warranty.id):
            row.state = "void"
        note(work, who, "void", warranty.number, lot.id, reason=reason)
        _tell_void(parts, work, lot, warranty)
        restage(work, lot)


def _tell_void(parts: Parts, work: Work, lot: Any, warranty: Any) -> None:
    """Tell whoever holds it, and the builder who handed the promise on."""
    mail_holder(parts, work, "made_void", warranty, reason=warranty.reason)
    if lot.company.kind != "owner":
        said = warranty_document(warranty)
        mail_builder(parts, work, "made_void", lot.company_id, lot.id, place=said.place,
                     number=warranty.number, office=said.office, reason=warranty.reason,
                     link=parts.links.builder_lot(lot.id))  # fmt: skip


def find(parts: Parts, number: str, house_number: str, address: str) -> WarrantyPage:
    """A warranty by its number and the house number. `address` is where the question comes from.

    Whatever does not fit, the answer is the same `NotFound`, after the same work: the two are looked up as
    one key, which is there or is not, and two subjects are counted. After a few wrong tries from one address
    or at one number, `TooManyTries` says how long to wait.

    A number is one of 30^10: its last character follows from the others, and keeps no guesser out. At the
    limit an address has 9 wrong tries an hour, 78,846 a year, and so has a number from however many
    addresses. With a million warranties in force one address comes upon any one of their numbers within a
    year with a chance of 1 in 7,490, a thousand addresses with 1 in 8; and in the same try the house number
    has to be that house's. Upon a certain warranty's number a thousand come with 1 in 7 million. The number
    is what is secret: whoever knows it has the certificate, where the house number stands beside it.
    tests/acts/test_guessing.py computes these.
    """
    shown = _as_number(number)
    # What is no number at all is counted as well, apart for each address: the count is work, too.
    subjects = [f"from {address}", f"at {shown}" if shown else f"no number from {address}"]
    # Writing, although a right pair leaves nothing behind: looked up in one transaction and counted
    # in the next, guesses sent all at once would each be let through before any of them counted.
    with parts.store.writing() as work:
        LOOKUP.check(work, *subjects)
        warranty = filing.warranty_found(work, find_key(shown or "", house_number))
        if warranty is not None:
            return _page(parts, work, warranty)
        LOOKUP.add(work, *subjects)
    raise NotFound("warranty")


def _as_number(typed: str) -> str | None:
    try:
        return read_number(typed)
    except BadInput:
        # A mistyped number is answered as an unknown one: the words tell nobody which part was wrong.
        return None


def by_link(parts: Parts, token: str) -> WarrantyPage:
    """The warranty that a QR leads to. Raises `NotFound`."""
    with parts.store.reading() as work:
        warranty = warranties.by_link(work, token)
        if warranty is None:
            raise NotFound("warranty")
        return replace(_page(parts, work, warranty), timeline=_timeline(work, warranty))


def _timeline(work: Work, warranty: Any) -> tuple[Happened, ...]:
    return tuple(_happened(line) for line in trail.told_of(work, warranty.lot_id, TIMELINE))


def _happened(line: Any) -> Happened:
    reason = line.details.get("reason", "") if line.verb == "void" else ""
    return Happened(line.at, line.verb, reason, line.subject if line.verb in NUMBERED else "")


def _page(parts: Parts, work: Work, warranty: Any) -> WarrantyPage:
    shown_reason = warranty.reason if warranty.state == "void" else ""
    return WarrantyPage(
        warranty.link_token, warranty.number, state_on(warranty.state, warranty.ends_on, parts.today()),
        shown_reason,
        warranty.begins_on, warranty.ends_on, warranty_document(warranty),
        tuple(page for page in pages_of(work, warranty.lot_id) if page.now and page.subject in HOME),
    )  # fmt: skip


def warranty_document(warranty: Any) -> WarrantyDocument:
    """The frozen document of a warranty."""
    return from_stored(WarrantyDocument, warranty.document)


def expire(parts: Parts) -> int:
    """Let every warranty expire whose last day is over; answers how many. The worker calls this.

    A transaction each, for the reason that a quote's lapsing gives.
    """
    with parts.store.reading() as work:
        found = [(row.id, row.lot_id) for row in warranties.expiring(work, parts.today())]
    return sum(_expire_one(parts, *one) for one in found)


def _expire_one(parts: Parts, warranty_id: str, lot_id: str) -> bool:
    with parts.store.writing() as work:
        lot = lots.locked(work, lot_id)
        warranty = warranties.warranty(work, warranty_id)
        if state_on(warranty.state, warranty.ends_on, parts.today()) == warranty.state:
            return False  # it was made void in the meantime
        warranty.state = move(WARRANTY, warranty.state, "expired")
        note(work, SYSTEM, "expired", warranty.number, lot.id)
        tell_expired(parts, work, warranty)
        restage(work, lot)
        return True
