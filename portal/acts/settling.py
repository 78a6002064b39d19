"""An invoice's state follows what its postings come to; what it brings about follows the state."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.covering import release_when_paid
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.acts.renewed import follow_owner_bill
from portal.core.documents import InvoiceDocument, from_stored
from portal.core.journey import INVOICE, OWING, move
from portal.core.money.amount import CENT
from portal.core.money.invoice import state_after
from portal.core.money.terms import ZERO, prompt_payment
from portal.store import billing, books, lots, owed
from portal.store.transaction import Work


def settle(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """Have an invoice's state follow its postings, and its lots' stages; paid, it releases their warranties.

    Called after every act that posted to the invoice, which has held the lots before.
    """
    still_open = books.open_of(work, invoice.id)
    after = state_after(
        invoice.total, still_open, _credited(work, invoice), owed.written_off(work, invoice.id)
    )
    if invoice.total == 0 and _given_back(work, invoice):
        after = "credited"
    invoice.state = move(INVOICE, invoice.state, after)
    work.session.flush()
    follow_owner_bill(parts, work, who, invoice)
    for row in owed.lots_of(work, invoice.id):
        lot = lots.lot(work, row.lot_id)
        if invoice.state == "paid" and _all_paid(work, row, invoice):
            release_when_paid(parts, work, who, lot)
        if row.speaks:
            restage(work, lot)


def _credited(work: Work, invoice: Any) -> Decimal:
    """What credit notes took back; not the whole as long as a deposit still stands for a part of it."""
    taken = owed.credited(work, invoice.id)
    return taken if not billing.deposits_used(work, invoice.id) else min(taken, invoice.total - CENT)


def _given_back(work: Work, invoice: Any) -> bool:
    """Whether credit notes gave back all of the deposits that covered an invoice: nothing stands for it."""
    used = billing.deposits_used(work, invoice.id)
    return not used and bool(invoice.document.get("deposits")) and bool(owed.credit_notes(work, invoice.id))


def _all_paid(work: Work, row: Any, invoice: Any) -> bool:
    """Whether a lot is paid: the invoice that speaks for it, and the deposit that came off that."""
    if row.speaks:
        deposits = billing.deposits_of(work, (row.lot_id,))
        return all(deposit.state not in OWING for deposit, _left in deposits)
    speaking = owed.invoice_of(work, row.lot_id)
    return invoice.kind == "deposit" and speaking is not None and speaking.state == "paid"


def prompt_off(work: Work, invoice: Any, asks: Decimal, on: date | None) -> Decimal:
    """What an invoice's terms let off if it is paid on a day: of what it asked for, as it was corrected."""
    return prompt_until(work, invoice, asks, on)[0] if on else ZERO


def prompt_until(work: Work, invoice: Any, asks: Decimal, on: date) -> tuple[Decimal, date | None]:
    """The same, and until which day; nothing after that day, nor where the terms let nothing off."""
    document = from_stored(InvoiceDocument, invoice.document)
    terms = document.terms
    if terms is None or document.kind == "deposit":
        return ZERO, None
    found = prompt_payment(terms, invoice.issued_on, asks + owed.paid(work, invoice.id))
    return (min(found.amount, asks), found.until) if found and on <= found.until else (ZERO, None)


def hold_lots(work: Work, invoice_id: str) -> list[Any]:
    """Hold an invoice's lots, in one order: two people holding each other up would be a deadlock."""
    return [lots.locked(work, row.lot_id) for row in owed.lots_of(work, invoice_id)]
