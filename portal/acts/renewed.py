"""What an owner's invoice brings about once it is paid, and what a payment that did not hold takes back."""

from __future__ import annotations

from datetime import date
from typing import Any

from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.acts.renewal_told import tell_renewed, tell_withdrawn
from portal.acts.trail import note
from portal.core.cover.renewing import runs_through
from portal.core.journey import state_on
from portal.store import lots, renewals, transfers, warranties
from portal.store.transaction import Work

#: What a renewal is by its invoice; while that is owed, it waits.
BY_INVOICE = {"paid": "renewed", "credited": "not paid", "written off": "not paid"}


def follow_owner_bill(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """Have what an owner's invoice was for follow its state. Other invoices bring about nothing here."""
    if invoice.kind == "renewal":
        row = renewals.of_invoice(work, invoice.id)
        if row is not None and row.state in renewals.BILLED:
            follow(parts, work, who, row, BY_INVOICE.get(invoice.state, "looked at"))
    elif invoice.kind == "transfer":
        made = transfers.of_fee(work, invoice.id)
        if made is not None and made.fee_state in ("owed", "paid"):
            made.fee_state = "paid" if invoice.state == "paid" else "owed"


def follow(parts: Parts, work: Work, who: Actor, row: Any, state: str) -> None:
    """Move a billed renewal, and the warranty's last day with it. Its lot is held; its document stays."""
    before, warranty = row.state, warranties.warranty(work, row.warranty_id)
    if before == state:
        return
    if warranty.state == "void":
        row.state = "void"  # what is void is not brought back by money: the office credits it
        return
    row.state = state
    before_day, day = warranty.ends_on, _run(parts, work, warranty)
    if day == before_day:
        if state == "not paid":
            note(work, who, "renewal not paid", warranty.number, warranty.lot_id)
        return
    verb = "renewed" if state == "renewed" else "renewal withdrawn"
    note(work, who, verb, warranty.number, warranty.lot_id, day=day.isoformat())
    restage(work, lots.lot(work, warranty.lot_id))
    if state == "renewed":
        tell_renewed(parts, work, warranty)
    else:
        tell_withdrawn(parts, work, warranty, owed=state == "looked at")


def _run(parts: Parts, work: Work, warranty: Any) -> date:
    """Have a warranty run through the latest term that is paid for; answers its last day."""
    work.session.flush()
    rows = renewals.terms_of(work, warranty.id)
    paid = [row.until for row in rows if row.state == "renewed"]
    day = runs_through(rows[0].ended_on, paid)
    warranty.ends_on = day
    warranty.state = state_on("in force", day, parts.today())
    work.session.flush()
    return day
