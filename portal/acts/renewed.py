"""What an owner's invoice brings about once it is paid, and what a payment that did not hold takes back."""

from __future__ import annotations

from typing import Any

from portal.acts.holder_told import mail_holder
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.acts.trail import note
from portal.core.journey import state_on
from portal.store import lots, renewals, transfers, warranties
from portal.store.transaction import Work


def follow_owner_bill(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """Have what an owner's invoice was for follow its state. Other invoices bring about nothing here."""
    if invoice.kind == "renewal":
        row = renewals.of_invoice(work, invoice.id)
        if row is not None and invoice.state == "paid" and row.state == "looked at":
            extend(parts, work, who, row)
        elif row is not None and invoice.state != "paid" and row.state == "renewed":
            _withdraw(parts, work, who, row)
    elif invoice.kind == "transfer":
        made = transfers.of_fee(work, invoice.id)
        if made is not None and made.fee_state in ("owed", "paid"):
            made.fee_state = "paid" if invoice.state == "paid" else "owed"


def extend(parts: Parts, work: Work, who: Actor, row: Any) -> None:
    """Run a warranty on into the term that was taken up. Its lot is held; its document stays as it is."""
    warranty = warranties.warranty(work, row.warranty_id)
    if warranty.state == "void":
        return  # what is void is not brought back by money: the office credits it
    warranty.state, warranty.ends_on, row.state = "in force", row.until, "renewed"
    note(work, who, "renewed", warranty.number, warranty.lot_id, day=row.until.isoformat())
    work.session.flush()
    restage(work, lots.lot(work, warranty.lot_id))
    mail_holder(parts, work, "renewed", warranty, until=row.until)


def _withdraw(parts: Parts, work: Work, who: Actor, row: Any) -> None:
    """The payment did not hold, or was taken back: the term that it bought is not there."""
    warranty = warranties.warranty(work, row.warranty_id)
    row.state = "looked at"
    if warranty.state == "void" or warranty.ends_on != row.until:
        return
    warranty.ends_on = row.ended_on
    warranty.state = state_on("in force", row.ended_on, parts.today())
    note(work, who, "renewal withdrawn", warranty.number, warranty.lot_id, day=row.ended_on.isoformat())
    work.session.flush()
    restage(work, lots.lot(work, warranty.lot_id))
