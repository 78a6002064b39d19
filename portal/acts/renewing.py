"""Renewals: the next term of a warranty offered before one ends, answered through a link, and billed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.owner_bills import bill_owner
from portal.acts.papers import PaperFile, owner_bill
from portal.acts.parts import SYSTEM, Actor, Parts
from portal.acts.renewal_told import write_offer
from portal.acts.renewed import follow
from portal.acts.trail import note
from portal.acts.transferring import HOLDER
from portal.core.cover.promised import promised
from portal.core.cover.renewing import may_be_offered, next_term
from portal.core.documents import WarrantyDocument
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
    #: Whether it can be taken up today: it was offered, or left, and its last day is not over.
    to_take_up: bool


def offer_renewals(parts: Parts) -> int:
    """Offer the next term of every warranty that is near its end, once; answers how many.

    The worker calls it. A transaction each, for the reason that a quote's lapsing gives. What was not taken
    up in time lapses.
    """
    with parts.store.reading() as work:
        found, over = _due(work, parts.today()), renewals.past_their_day(work, parts.today())
    for renewal_id, lot_id in over:
        _lapse(parts, renewal_id, lot_id)
    return sum(_offer_one(parts, *one) for one in found)


def _due(work: Work, today: date) -> list[tuple[str, str]]:
    """Warranties, with their lots, to offer the next term of: by id, found without holding any.

    No further around today than some edition of the terms ever said: there may be a million.
    """
    said = [promised(edition.document, "")["renewal"] for edition in quotes.editions(work, "terms")]
    spans = [(terms.days_before, terms.days_after) for terms in said if terms is not None]
    if not spans:
        return []
    before, after = (timedelta(days=max(span)) for span in zip(*spans, strict=True))
    return [
        (warranty_id, lot_id)
        for warranty_id, lot_id, ends_on, terms, made in renewals.ending(work, today - after, today + before)
        if may_be_offered(terms, ends_on, made, today)
    ]


def _offer_one(parts: Parts, warranty_id: str, lot_id: str) -> bool:
    with parts.store.writing() as work:
        lots.locked(work, lot_id)
        warranty, today = warranties.warranty(work, warranty_id), parts.today()
        terms = warranty_document(warranty).terms.renewal
        made = renewals.times_renewed(work, warranty.id)
        if warranty.state == "void" or not may_be_offered(terms, warranty.ends_on, made, today):
            return False
        if warranty.ends_on is not None and renewals.was_offered(work, warranty.id, warranty.ends_on):
            return False  # another worker was first
        assert terms is not None and warranty.ends_on is not None
        rates = quotes.edition_on(work, "rates", today)
        term = next_term(terms, warranty.ends_on, read_rates(rates.document).renewal)
        holder = holders.holder_now(work, warranty.id)
        row = renewals.add(
            work, warranty_id=warranty.id, lot_id=warranty.lot_id, holder_id=holder.id if holder else None,
            ended_on=warranty.ends_on, until=term.until, last_day=term.last_day, fee=term.fee,
            rate_edition=rates.number if term.fee != terms.fee else 0, inspection=terms.inspection,
        )  # fmt: skip
        note(work, SYSTEM, "renewal offered", warranty.number, lot_id, day=term.until.isoformat())
        if holder is not None:
            write_offer(parts, work, warranty, row, holder)
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
        return view_of(parts, work, _linked(parts, work, token))


def _linked(parts: Parts, work: Work, token: str) -> Any:
    said = parts.tokens.read("renewal", token)
    row = renewals.renewal(work, said["renewal"])
    holder = holders.holder_now(work, row.warranty_id)
    # Of the link, not of the row alone: the row is offered anew to whoever the warranty is handed on to.
    if holder is None or not holder.id == row.holder_id == said.get("holder"):
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
    if row.state != "offered" and not (yes and row.state == "declined"):
        raise refuse("This renewal is already {state}.", state=row.state)
    if row.last_day < parts.today():
        raise refuse("It could be taken up through {day}, and that is over.", day=row.last_day)
    warranty = warranties.warranty(work, row.warranty_id)
    if warranty.state == "void":
        raise refuse("The warranty is void: it is not renewed.")
    if yes and warranty.ends_on != row.ended_on:
        raise refuse("The term before it is not paid. Once it is, this one can be taken up.")
    row.answered_by, row.answered_at = who.name, work.now
    move_on(work, who, row, "accepted" if yes else "declined")
    if yes:
        _billed(work, warranty)
    if yes and not row.inspection:
        bill_term(parts, work, who, row, warranty)


def bill_term(parts: Parts, work: Work, who: Actor, row: Any, warranty: Any) -> None:
    """Bill the next term to its holder; where it costs nothing, it begins."""
    if warranty.state == "void":
        raise refuse("The warranty is void: it is not renewed.")
    row.state = "looked at"
    if row.fee == 0:
        follow(parts, work, who, row, "renewed")
        return
    row.invoice_id = bill_owner(parts, work, who, warranty, _billed(work, warranty), "renewal", row.fee).id


def _billed(work: Work, warranty: Any) -> Any:
    """Who is billed for a next term: the holder on record. Raises `Refused` where nobody is."""
    holder = holders.holder_now(work, warranty.id)
    if holder is None:
        raise refuse("Nobody is named as its holder. Name the owner first: they are billed.")
    return holder


def view_of(parts: Parts, work: Work, row: Any) -> RenewalView:
    """A stored renewal as a frozen record."""
    return views_of(parts, work, [(row, warranties.warranty(work, row.warranty_id))])[0]


def views_of(parts: Parts, work: Work, rows: Sequence[tuple[Any, Any]]) -> list[RenewalView]:
    """Stored renewals, each with its warranty, as frozen records: with few questions, however many."""
    held = holders.holders_now(work, [warranty.id for _, warranty in rows])
    billed = owed.numbers(work, [row.invoice_id for row, _ in rows if row.invoice_id])
    return [_view(parts, row, warranty, held.get(warranty.id), billed) for row, warranty in rows]


def _view(parts: Parts, row: Any, warranty: Any, holder: Any, billed: dict[str, str]) -> RenewalView:
    own = {
        name: getattr(row, name) for name in RenewalView.__dataclass_fields__
        if name not in ("warranty", "warranty_state", "document", "holder", "email", "invoice", "to_take_up")
    }  # fmt: skip
    return RenewalView(
        **own, warranty=warranty.number, warranty_state=warranty.state, document=warranty_document(warranty),
        holder=holder.name if holder else "", email=holder.email if holder else "",
        invoice=billed.get(row.invoice_id, ""),
        to_take_up=row.state in ("offered", "declined") and row.last_day >= parts.today()
        and warranty.state != "void",
    )  # fmt: skip


def bill_by_link(parts: Parts, token: str) -> PaperFile:
    """An owner's invoice, by the link that was mailed with it. Raises `NotFound`."""
    return owner_bill(parts, parts.tokens.read("bill", token)["invoice"])
