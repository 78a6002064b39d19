"""What a holder does through their mailed link: reads the record, corrects their address, hands it on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from portal.acts import covering
from portal.acts.covering import WarrantyPage, warranty_document
from portal.acts.handed_on import hand_on
from portal.acts.packet import packet
from portal.acts.papers import PaperFile, certificate_by_link
from portal.acts.parts import SYSTEM, Parts
from portal.acts.renewal_told import renewal_token
from portal.acts.slowing import Door
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.trail import note, once
from portal.acts.transferring import (
    HOLDER,
    NEXT_OWNER,
    NextTyped,
    TransferRow,
    begin,
    check_next,
    end,
    held,
    holder_token,
    mail_holder_link,
    row_of,
    tell_not_taken,
    write_to_buyer,
)
from portal.core.cover.numbers import read_number
from portal.core.documents import WarrantyDocument
from portal.core.errors import BadInput, NotFound, refuse
from portal.core.journey import state_on
from portal.core.words import say
from portal.store import holders, privacy, renewals, transfers, warranties
from portal.store.transaction import Work

#: Every ask counts, a right one too: it sends somebody a letter.
DOOR = Door("holder link", free=5, window=timedelta(days=1), first_wait=timedelta(minutes=15))


@dataclass(frozen=True, slots=True)
class Bill:
    """An invoice of a holder's. `token` is that of the link to it."""

    number: str
    issued_on: date
    due_on: date
    total: Decimal
    state: str
    token: str


@dataclass(frozen=True, slots=True)
class HolderPage:
    """What a holder sees. Of those before them the number, never a name."""

    name: str
    email: str
    phone: str
    since: date
    before: int
    warranty: WarrantyPage
    transfer: TransferRow | None
    #: What was billed to them, the newest first.
    bills: tuple[Bill, ...] = ()
    #: The token of the link to the next term that was offered to them; "" where none can be read there.
    renewal: str = ""


@dataclass(frozen=True, slots=True)
class Offered:
    """What the next owner of a house sees before the warranty is theirs."""

    name: str
    closed_on: date
    number: str
    document: WarrantyDocument


def holder_of(parts: Parts, work: Work, token: str) -> Any:
    """The holder a link belongs to. Raises `Refused` where the link is over."""
    said = parts.tokens.read("holder", token)
    holder = transfers.holder(work, said["holder"])
    if holder.until is not None or holder.turn != said["turn"]:
        raise refuse("This link is over. Whoever holds the warranty now can ask for a new one.")
    return holder


def look(parts: Parts, token: str) -> HolderPage:
    """The holder's own page."""
    with parts.store.reading() as work:
        holder = holder_of(parts, work, token)
        warranty = warranties.warranty(work, holder.warranty_id)
        before = len(holders.holders(work, warranty.id)) - 1
        row = transfers.waiting(work, warranty.id)
        shown = row_of(row) if row is not None else None
        bills = tuple(
            Bill(one.number, one.issued_on, one.due_on, one.total, one.state,
                 parts.tokens.make("bill", {"invoice": one.id}))
            for one in reversed(privacy.invoices_of_holder(work, holder.id))
        )  # fmt: skip
        newest = next(reversed(renewals.terms_of(work, warranty.id)), None)
        mine = newest is not None and newest.holder_id == holder.id
        shown_too = mine and newest is not None and newest.state in (*renewals.OPEN, "declined")
        renewal = renewal_token(parts, newest, holder) if shown_too else ""
    return HolderPage(holder.name, holder.email, holder.phone, holder.since, before,
                      covering.by_link(parts, warranty.link_token), shown, bills, renewal)  # fmt: skip


def certificate(parts: Parts, token: str) -> PaperFile:
    """The certificate, for its holder."""
    return certificate_by_link(parts, look(parts, token).warranty.token)


def closing_packet(parts: Parts, token: str) -> PaperFile:
    """The closing packet, for its holder."""
    with parts.store.reading() as work:
        warranty_id = holder_of(parts, work, token).warranty_id
    return packet(parts, warranty_id)


def correct(parts: Parts, token: str, email: str, phone: str) -> str:
    """Correct the holder's own mail address and phone; answers the token that goes on.

    Another address ends the links that went to the one before: it may not be theirs any more.
    """
    email, phone = email.strip(), phone.strip()
    check(email_problems(email), text_problems("phone", phone, 40))
    with parts.store.writing() as work:
        holder = holder_of(parts, work, token)
        warranty = held(work, holder.warranty_id)
        holder = holder_of(parts, work, token)
        moved = email.lower() != holder.email.lower()
        holder.email, holder.phone = email, phone
        if moved:
            holder.turn += 1
            mail_holder_link(parts, work, warranty, holder)
        note(work, HOLDER, "holder corrected", warranty.number, warranty.lot_id)
        return holder_token(parts, holder)


def ask_transfer(parts: Parts, token: str, typed: NextTyped, once_key: str) -> str:
    """Ask that the next owner takes it over; answers how it stands: open, or at the office first."""
    check_next(typed, mail_needed=True)

    def do(work: Work) -> dict[str, Any]:
        warranty = held(work, holder_of(parts, work, token).warranty_id)
        holder = holder_of(parts, work, token)
        row = begin(parts, work, HOLDER, warranty, holder, typed, asked_by="holder")
        if row.state == "open":
            write_to_buyer(parts, work, warranty, row)
        return {"state": row.state}

    said = [typed.name, typed.email, typed.closed_on]
    return str(once(parts, SYSTEM, f"ask transfer {token[:40]}", once_key, do, said)["state"])


def withdraw(parts: Parts, token: str) -> None:
    """Take back what the holder asked for, as long as nobody accepted it."""
    with parts.store.writing() as work:
        warranty = held(work, holder_of(parts, work, token).warranty_id)
        holder_of(parts, work, token)
        row = transfers.waiting(work, warranty.id)
        if row is None:
            raise refuse("Nothing is being handed on.")
        end(work, HOLDER, warranty, row, "withdrawn")


def offered(parts: Parts, token: str) -> Offered:
    """What is offered to the next owner."""
    with parts.store.reading() as work:
        row = _open(parts, work, token)
        warranty = warranties.warranty(work, row.warranty_id)
        return Offered(row.name, row.closed_on, warranty.number, warranty_document(warranty))


def _open(parts: Parts, work: Work, token: str) -> Any:
    row = transfers.transfer(work, parts.tokens.read("transfer", token)["transfer"])
    if row.state != "open":
        raise refuse("This link is over: it was answered, or taken back.")
    return row


def accept(parts: Parts, token: str, name: str, phone: str) -> str:
    """Take it over; answers the token of the new holder's page."""
    check(text_problems("name", name, 200, say("Write your name.")), text_problems("phone", phone, 40))
    with parts.store.writing() as work:
        warranty = held(work, _open(parts, work, token).warranty_id)
        row = _open(parts, work, token)
        now = state_on(warranty.state, warranty.ends_on, parts.today())
        if now not in ("held", "in force"):
            raise refuse("The warranty is {now}: there is nothing to hand on.", now=now)
        row.name = name.strip()
        return holder_token(parts, hand_on(parts, work, NEXT_OWNER, warranty, row, phone.strip()))


def decline(parts: Parts, token: str) -> None:
    """Say no to it: the holder stays who it was."""
    with parts.store.writing() as work:
        warranty = held(work, _open(parts, work, token).warranty_id)
        row = _open(parts, work, token)
        end(work, NEXT_OWNER, warranty, row, "declined")
        tell_not_taken(parts, work, warranty, row)


def ask_link(parts: Parts, number: str, email: str, address: str) -> None:
    """Ask for a holder's link anew. Nothing is answered but that it was asked: the worker looks it up."""
    check(
        text_problems("number", number, 40, say("Enter the warranty number.")), email_problems(email.strip())
    )
    with parts.store.writing() as work:
        DOOR.check(work, f"from {address}")
        DOOR.add(work, f"from {address}")
        transfers.ask_link(work, number.strip(), email.strip())


def answer_link_asks(parts: Parts) -> int:
    """Mail each link asked for to the holder on record, where number and address fit; answers how many."""
    with parts.store.writing() as work:
        return sum(_answer(parts, work, asked) for asked in transfers.links_asked(work))


def _answer(parts: Parts, work: Work, asked: Any) -> int:
    transfers.drop_link_asked(work, asked)
    try:
        warranty = warranties.by_number(work, read_number(asked.number))
    except (BadInput, NotFound):
        return 0
    holder = holders.holder_now(work, warranty.id) if warranty else None
    if warranty is None or holder is None or holder.email.lower() != asked.email.lower():
        return 0
    mail_holder_link(parts, work, warranty, holder)
    return 1
