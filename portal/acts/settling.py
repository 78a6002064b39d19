"""An invoice's state follows what its postings come to; what it brings about follows the state."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from portal.acts.covering import release_when_paid
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.core.journey import INVOICE, OWING, move
from portal.core.money.amount import CENT
from portal.core.money.invoice import state_after
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
    invoice.state = move(INVOICE, invoice.state, after)
    work.session.flush()
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


def _all_paid(work: Work, row: Any, invoice: Any) -> bool:
    """Whether a lot is paid: the invoice that speaks for it, and the deposit that came off that."""
    if row.speaks:
        deposits = billing.deposits_of(work, (row.lot_id,))
        return all(deposit.state not in OWING for deposit, _left in deposits)
    speaking = owed.invoice_of(work, row.lot_id)
    return invoice.kind == "deposit" and speaking is not None and speaking.state == "paid"


def hold_lots(work: Work, invoice_id: str) -> list[Any]:
    """Hold an invoice's lots, in one order: two people holding each other up would be a deadlock."""
    return [lots.locked(work, row.lot_id) for row in owed.lots_of(work, invoice_id)]
