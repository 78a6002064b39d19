"""An invoice's state follows what its postings come to; what it brings about follows the state."""

from __future__ import annotations

from typing import Any

from portal.acts.covering import release_when_paid
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.core.journey import INVOICE, move
from portal.core.money.invoice import state_after
from portal.store import books, lots, owed
from portal.store.transaction import Work


def settle(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """Have an invoice's state follow its postings, and its lots' stages; paid, it releases their warranties.

    Called after every act that posted to the invoice, which has held the lots before.
    """
    still_open = books.open_of(work, invoice.id)
    after = state_after(
        invoice.total, still_open, owed.credited(work, invoice.id), owed.written_off(work, invoice.id)
    )
    invoice.state = move(INVOICE, invoice.state, after)
    work.session.flush()
    for row in owed.lots_of(work, invoice.id):
        if not row.speaks:
            continue
        lot = lots.lot(work, row.lot_id)
        if invoice.state == "paid":
            release_when_paid(parts, work, who, lot)
        restage(work, lot)


def hold_lots(work: Work, invoice_id: str) -> list[Any]:
    """Hold an invoice's lots, in one order: two people holding each other up would be a deadlock."""
    return [lots.locked(work, row.lot_id) for row in owed.lots_of(work, invoice_id)]
