"""Renewals: the next term of a warranty offered before one ends, answered through a link, and billed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.holder_told import mail_holder
from portal.acts.owner_bills import bill_owner
from portal.acts.papers import PaperFile, owner_bill
from portal.acts.parts import SYSTEM, Actor, Parts
from portal.acts.renewed import extend
from portal.acts.trail import note
from portal.acts.transferring import HOLDER, held
from portal.core.cover.promised import MOST_DAYS
from portal.core.cover.renewing import may_be_offered, next_term
from portal.core.documents import WarrantyDocument
from portal.core.documents.parties import Renewal
from portal.core.errors import refuse
from portal.core.pricing.rates import read_rates
from portal.store import holders, lots, owed, quotes, renewals, warranties
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class RenewalView:
    """A renewal, for the office and for the holder it was offered to. `holder` and `invoice` are numbers
    and names for the office alone."""

    id: str
    lot_id: str
    warranty: str
    warranty_state: str
    document: WarrantyDocument
    holder: str
    email: str
    ended_on: date
    until: date
    last_day: date
    fee: Decimal
    rate_edition: int
    inspection: bool
    offered_at: datetime
    state: str
    answered_by: str
    looks_on: date | None
    looked_by: str
    found: str
    invoice_id: str | None
    invoice: str


def offer_renewals(parts: Parts) -> int:
    """Offer the next term of every warranty that is near its end, once; answers how many.

    The worker calls it. A transaction each, for the reason that a quote's lapsing gives. What was not taken
    up in time lapses.
    """
    today, span = parts.today(), timedelta(days=MOST_DAYS)
    with parts.store.reading() as work:
        # Looked at before any lot is held: most terms are years from what their renewals allow.
        ending = renewals.ending(work, today - span, today + span)
        found = [warranty.id for warranty in ending if _to_offer(work, warranty, today) is not None]
        over = renewals.past_their_day(work, today)
    for renewal_id, lot_id in over:
        _lapse(parts, renewal_id, lot_id)
    return sum(_offer_one(parts, warranty_id) for warranty_id in found)


def _to_offer(work: Work, warranty: Any, today: date) -> Renewal | None:
    """The terms by which a warranty's next term may be offered today, if they have any."""
    terms = warranty_document(warranty).terms.renewal
    if terms is None or warranty.state == "void":
        return None
    made = renewals.times_renewed(work, warranty.id)
    return terms if may_be_offered(terms, warranty.ends_on, made, today) else None


def _offer_one(parts: Parts, warranty_id: str) -> bool:
    with parts.store.writing() as work:
        warranty, today = held(work, warranty_id), parts.today()
        terms = _to_offer(work, warranty, today)
        if terms is None:
            return False
        assert warranty.ends_on is not None
        rates = quotes.edition_on(work, "rates", today)
        term = next_term(terms, warranty.ends_on, read_rates(rates.document).renewal)
        holder = holders.holder_now(work, warranty.id)
        row = renewals.add(
            work, warranty_id=warranty.id, lot_id=warranty.lot_id, holder_id=holder.id if holder else None,
            ended_on=warranty.ends_on, until=term.until, last_day=term.last_day, fee=term.fee,
            rate_edition=rates.number if term.fee != terms.fee else 0, inspection=terms.inspection,
        )  # fmt: skip
        note(work, SYSTEM, "renewal offered", warranty.number, row.lot_id, day=term.until.isoformat())
        link = parts.links.renewal(parts.tokens.make("renewal", {"renewal": row.id}))
        mail_holder(parts, work, "renewal_offered", warranty, link=link, ended_on=row.ended_on,
                    until=row.until, last_day=row.last_day, fee=row.fee,
                    inspection=row.inspection)  # fmt: skip
        return True


def _lapse(parts: Parts, renewal_id: str, lot_id: str) -> None:
    with parts.store.writing() as work:
        lots.locked(work, lot_id)
        row = renewals.renewal(work, renewal_id)
        if row.state == "offered" and row.last_day < parts.today():
            move_on(work, SYSTEM, row, "lapsed")


def move_on(work: Work, who: Actor, row: Any, state: str, **details: Any) -> None:
    """The next state of a renewal, with its line of history."""
    row.state = state
    warranty = warranties.warranty(work, row.warranty_id)
    note(work, who, f"renewal {state}", warranty.number, row.lot_id, **details)


def look(parts: Parts, token: str) -> RenewalView:
    """What a mailed link offers. Raises `NotFound` where it is none of ours, `Refused` where it is over."""
    with parts.store.reading() as work:
        return view_of(work, _linked(parts, work, token))


def _linked(parts: Parts, work: Work, token: str) -> Any:
    row = renewals.renewal(work, parts.tokens.read("renewal", token)["renewal"])
    holder = holders.holder_now(work, row.warranty_id)
    if holder is None or holder.id != row.holder_id:
        raise refuse("This link is over. Whoever holds the warranty now can ask the office.")
    return row


def answer(parts: Parts, token: str, yes: bool) -> None:
    """The holder takes the next term up, or leaves it; the same answer twice is one."""
    with parts.store.reading() as work:
        lot_id = _linked(parts, work, token).lot_id
    with parts.store.writing() as work:
        lots.locked(work, lot_id)
        row = _linked(parts, work, token)
        if row.state in (("accepted", "looked at", "renewed") if yes else ("declined",)):
            return
        take_answer(parts, work, HOLDER, row, yes)


def take_answer(parts: Parts, work: Work, who: Actor, row: Any, yes: bool) -> None:
    """A yes or a no to what is offered, of a row whose lot is held."""
    if row.state != "offered":
        raise refuse("This renewal is already {state}.", state=row.state)
    if row.last_day < parts.today():
        raise refuse("It could be taken up through {day}, and that is over.", day=row.last_day)
    warranty = warranties.warranty(work, row.warranty_id)
    if warranty.state == "void":
        raise refuse("The warranty is void: it is not renewed.")
    row.answered_by, row.answered_at = who.name, work.now
    move_on(work, who, row, "accepted" if yes else "declined")
    if yes:
        _billed(work, warranty)
    if yes and not row.inspection:
        bill_term(parts, work, who, row, warranty)


def bill_term(parts: Parts, work: Work, who: Actor, row: Any, warranty: Any) -> None:
    """Bill the next term to its holder; where it costs nothing, it begins."""
    row.state = "looked at"
    if row.fee == 0:
        extend(parts, work, who, row)
        return
    row.invoice_id = bill_owner(parts, work, who, warranty, _billed(work, warranty), "renewal", row.fee).id


def _billed(work: Work, warranty: Any) -> Any:
    """Who is billed for a next term: the holder on record. Raises `Refused` where nobody is."""
    holder = holders.holder_now(work, warranty.id)
    if holder is None:
        raise refuse("Nobody is named as its holder. Name the owner first: they are billed.")
    return holder


def view_of(work: Work, row: Any) -> RenewalView:
    """A stored renewal as a frozen record."""
    warranty = warranties.warranty(work, row.warranty_id)
    holder = holders.holder_now(work, warranty.id)
    own = {
        name: getattr(row, name) for name in RenewalView.__dataclass_fields__
        if name not in ("warranty", "warranty_state", "document", "holder", "email", "invoice")
    }  # fmt: skip
    return RenewalView(
        **own, warranty=warranty.number, warranty_state=warranty.state, document=warranty_document(warranty),
        holder=holder.name if holder else "", email=holder.email if holder else "",
        invoice=owed.invoice(work, row.invoice_id).number if row.invoice_id else "",
    )  # fmt: skip


def bill_by_link(parts: Parts, token: str) -> PaperFile:
    """An owner's invoice, by the link that was mailed with it. Raises `NotFound`."""
    return owner_bill(parts, parts.tokens.read("bill", token)["invoice"])
