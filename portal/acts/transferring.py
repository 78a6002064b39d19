"""Handed on: from one owner of a house to the next, by the holder's mailed link or by the office."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.parts import SYSTEM, Actor, Parts
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.trail import mail, note
from portal.core.cover.handing import against, waits_for_office
from portal.core.errors import BadInput, Problem, Refused, refuse
from portal.core.journey import state_on
from portal.core.words import Said, say
from portal.store import holders, lots, transfers, warranties
from portal.store.transaction import Work
from portal.tokens import LIFETIMES

#: Whoever acts by a mailed link. The history is kept for good, a homeowner's name is not.
HOLDER = Actor(None, "The holder", "", "holder")
NEXT_OWNER = Actor(None, "The next owner", "", "holder")
NO_NAME = say("Name the next owner.")


@dataclass(frozen=True, slots=True)
class NextTyped:
    """What is entered of the next owner."""

    name: str
    email: str
    closed_on: date | None


@dataclass(frozen=True, slots=True)
class TransferRow:
    """A transfer, as the office sees it."""

    id: str
    name: str
    email: str
    closed_on: date
    state: str
    asked_by: str
    fee: Decimal
    fee_state: str
    fee_invoice_id: str | None
    evidence: str
    evidence_name: str
    reason: str
    decided_by: str


def row_of(row: Any) -> TransferRow:
    """A stored transfer as a frozen record."""
    return TransferRow(**{name: getattr(row, name) for name in TransferRow.__dataclass_fields__})


def check_next(typed: NextTyped, *, mail_needed: bool) -> None:
    """Raise `BadInput` with whatever is wrong with what was typed."""
    email = typed.email.strip()
    check(
        text_problems("name", typed.name, 200, NO_NAME),
        email_problems(email) if email or mail_needed else [],
        [] if typed.closed_on else [Problem("closed_on", say("Enter the day of closing."))],
    )


def held(work: Work, warranty_id: str) -> Any:
    """The warranty, its lot held against everybody else who changes it."""
    lots.locked(work, warranties.warranty(work, warranty_id).lot_id)
    return warranties.warranty(work, warranty_id)


def begin(
    parts: Parts, work: Work, who: Actor, warranty: Any, holder: Any, typed: NextTyped, **more: Any
) -> Any:
    """A new transfer, where the terms have nothing against it."""
    assert typed.closed_on is not None
    said = warranty_document(warranty).terms.transfer
    state = state_on(warranty.state, warranty.ends_on, parts.today())
    if transfers.waiting(work, warranty.id) is not None:
        raise refuse("It is being handed on already. That has to be done or taken back first.")
    made = len(holders.holders(work, warranty.id)) - 1
    found = against(said, state, made, holder.since, typed.closed_on, parts.today())
    if found is not None:
        _tell(*found)
    fee = said.fee if said else Decimal("0.00")
    row = transfers.add_transfer(
        work, warranty_id=warranty.id, from_id=holder.id, to_id=None, name=typed.name.strip(),
        email=typed.email.strip(), closed_on=typed.closed_on, fee=fee,
        **({"evidence": "", "evidence_name": "", "evidence_sha256": "", "reason": "", "decided_by": "",
            "fee_state": "owed" if fee else "", "state": "office" if waits_for_office(said) else "open"}
           | more),
    )  # fmt: skip
    note(work, who, "transfer asked", warranty.number, warranty.lot_id, day=typed.closed_on.isoformat())
    return row


def _tell(at: str, says: Said) -> None:
    if at:
        raise BadInput([Problem(at, says)])
    raise Refused(says)


def write_to_buyer(parts: Parts, work: Work, warranty: Any, row: Any) -> None:
    """Mail the buyer the link by which the warranty becomes theirs."""
    token = parts.tokens.make("transfer", {"transfer": row.id})
    said = warranty_document(warranty)
    mail(parts, work, "transfer_asked", row.email, warranty.lot_id, name=row.name, place=said.place,
         office=said.office, link=parts.links.handed(token))  # fmt: skip


def tell_not_taken(parts: Parts, work: Work, warranty: Any, row: Any) -> None:
    """Tell the holder that the next owner did not take the warranty over: it stays theirs."""
    holder, said = transfers.holder(work, row.from_id), warranty_document(warranty)
    mail(parts, work, "transfer_not_taken", holder.email, warranty.lot_id, name=holder.name, place=said.place,
         number=warranty.number, to=row.name, declined=row.state == "declined", office=said.office,
         link=parts.links.holder(holder_token(parts, holder)))  # fmt: skip


def let_run_out(parts: Parts) -> int:
    """End transfers whose link is too old to be answered, and tell the holder. The worker calls this."""
    before = parts.now() - timedelta(seconds=LIFETIMES["transfer"])
    with parts.store.reading() as work:
        found = [(row.id, row.warranty_id) for row in transfers.open_since_before(work, before)]
    return sum(_run_out(parts, *one) for one in found)


def _run_out(parts: Parts, transfer_id: str, warranty_id: str) -> bool:
    with parts.store.writing() as work:
        warranty = held(work, warranty_id)
        row = transfers.transfer(work, transfer_id)
        if row.state != "open":
            return False
        end(work, SYSTEM, warranty, row, "withdrawn", reason="It was not answered in time.")
        tell_not_taken(parts, work, warranty, row)
        return True


def holder_token(parts: Parts, holder: Any) -> str:
    """The link's token of a holder as they stand: the next turn, or the next holder, ends it."""
    return parts.tokens.make("holder", {"holder": holder.id, "turn": holder.turn})


def mail_holder_link(parts: Parts, work: Work, warranty: Any, holder: Any) -> None:
    """Mail the holder the link to their own page."""
    said = warranty_document(warranty)
    mail(parts, work, "holder_link", holder.email, warranty.lot_id, name=holder.name, place=said.place,
         number=warranty.number, office=said.office, again=parts.links.ask_holder(),
         link=parts.links.holder(holder_token(parts, holder)))  # fmt: skip


def end(work: Work, who: Actor, warranty: Any, row: Any, state: str, reason: str = "") -> None:
    """End a transfer that is under way, without a new holder."""
    row.state, row.reason, row.decided_by, row.decided_at = state, reason, who.name, work.now
    note(work, who, f"transfer {state}", warranty.number, warranty.lot_id)
