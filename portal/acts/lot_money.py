"""All papers of money that a lot is in: invoices, credit notes, releases; and what is still to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.drafting import billed_by_package
from portal.acts.lot_state import lot_for
from portal.acts.offering import quote_document
from portal.acts.parts import Actor, Parts, has, must_be
from portal.acts.rebilling import why_not
from portal.acts.releasing import due_now, held_back
from portal.store import billing, jobs, owed, packages
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class MoneyPaper:
    """A paper of money: what it is, its number, its day, what it comes to, and the id it is had by.

    `left`: what of a deposit no invoice took off, and could be credited.
    """

    kind: str
    id: str
    number: str
    day: date
    amount: Decimal
    about: str
    state: str = ""
    left: Decimal = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class LotMoney:
    """The papers of a lot, and of the invoice that speaks for it what could be done.

    `package`: its number, where a treated lot is billed with it and is not yet. `held`: what is held back.
    """

    papers: tuple[MoneyPaper, ...]
    package: str = ""
    package_id: str = ""
    held: Decimal = Decimal("0.00")
    due_on: date | None = None
    may_rebill: bool = False


def money_of(parts: Parts, who: Actor, lot_id: str) -> LotMoney:
    """The money of a lot, for whoever sees money; for others there is none."""
    must_be(who, "builder", "office")
    if not has(who, "money"):
        return LotMoney(())
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id)
        rows = owed.invoices_of(work, lot.id)
        found = tuple(paper for row in rows for paper in _papers(work, row))
        speaking = owed.invoice_of(work, lot.id)
        if speaking is None:
            package = _waits_for(work, lot)
            return LotMoney(found, package.number if package else "", package.id if package else "")
        return LotMoney(
            found, held=held_back(work, speaking.id), due_on=due_now(work, speaking),
            may_rebill=why_not(work, speaking) is None,
        )  # fmt: skip


def _waits_for(work: Work, lot: Any) -> Any:
    job = jobs.job_of(work, lot.id)
    if job is None or job.state not in ("treated", "signed off"):
        return None
    together = billed_by_package(lot, quote_document(job.revision))
    return packages.package(work, lot.package_id) if together else None


def _papers(work: Work, row: Any) -> list[MoneyPaper]:
    before = row.document.get("in_place_of", "")
    left = billing.deposit_left(work, row) if row.kind == "deposit" else Decimal("0.00")
    found = [MoneyPaper("invoice", row.id, row.number, row.issued_on, row.total, row.kind, row.state, left)]
    if before:
        found = [MoneyPaper("invoice", row.id, row.number, row.issued_on, row.total, "rebilled", row.state)]
    found += [
        MoneyPaper("credit-note", one.id, one.number, one.issued_on, -one.total, one.document["reason"])
        for one in owed.credit_notes(work, row.id)
    ]
    found += [
        MoneyPaper(
            "retainage",
            one.adjustment_id,
            one.number,
            date.fromisoformat(one.document["issued_on"]),
            Decimal(one.document["amount"]),
            "",
        )
        for one in billing.retainage_papers(work, row.id)
    ]
    return found
