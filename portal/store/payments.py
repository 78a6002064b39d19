"""Finds what came, what it pays, and what a builder has to its credit. Adding is done in `owed`."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, func, select

from portal.core.errors import NotFound
from portal.core.money.dues import dues
from portal.core.money.ledger import CREDITS, RECEIVABLE
from portal.core.money.paying import Source
from portal.store.dues import releases
from portal.store.tables import (
    Adjustment,
    Allocation,
    Company,
    Invoice,
    InvoiceLot,
    LedgerEntry,
    Lot,
    Payment,
    Posting,
    Warranty,
)
from portal.store.transaction import Work

ZERO = Decimal("0.00")


def _columns(*columns: Any) -> Select[Any]:
    return select(*columns)


def hold_account(work: Work, company_id: str) -> None:
    """Hold a builder's account: its credit and what pays what. Before lots, invoices and the history's head.

    It does not stand in the way of rows that only name the company: they are written under other locks.
    """
    query = select(Company.id).where(Company.id == company_id).with_for_update(key_share=True)
    if work.session.scalar(query) is None:
        raise NotFound("company", company_id)


def _asking() -> Any:
    return (
        select(Posting.invoice_id, func.sum(Posting.amount).label("asks"))
        .where(Posting.account == RECEIVABLE).group_by(Posting.invoice_id)
        .having(func.sum(Posting.amount) > ZERO).subquery()
    )  # fmt: skip


def owing(
    work: Work, company_id: str | None = None, ids: Collection[str] = ()
) -> list[tuple[Invoice, Decimal]]:
    """Invoices that ask for something now, and for how much: what is due first stands first."""
    asking = _asking()
    query = select(Invoice, asking.c.asks).join(asking, asking.c.invoice_id == Invoice.id)
    query = query.where(Invoice.company_id == company_id) if company_id is not None else query
    query = query.where(Invoice.id.in_(ids)) if ids else query
    query = query.order_by(Invoice.due_on, Invoice.issued_on, Invoice.number)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def due_days(work: Work, found: Collection[tuple[Invoice, Decimal]]) -> dict[str, date]:
    """By invoice, the day by which the first of what it asks for is due."""
    released = releases(work, [invoice.id for invoice, _ in found if invoice.retained])
    return {one.id: dues(one.due_on, asks, released.get(one.id, ()))[0].day for one, asks in found}


def hold_invoices(work: Work, ids: Collection[str]) -> list[Invoice]:
    """These invoices, held one after another in the order of their ids. Their lots are held before."""
    query = select(Invoice).where(Invoice.id.in_(ids)).order_by(Invoice.id).with_for_update()
    return list(work.session.scalars(query.execution_options(populate_existing=True)))


def lot_ids(work: Work, invoice_ids: Collection[str]) -> list[str]:
    """The lots of these invoices, in the order in which several lots are held."""
    query = select(InvoiceLot.lot_id).where(InvoiceLot.invoice_id.in_(invoice_ids)).distinct()
    return list(work.session.scalars(query.order_by(InvoiceLot.lot_id)))


def paid_by(work: Work, payment_id: str) -> list[tuple[str, Decimal]]:
    """What a payment pays now, by invoice."""
    part = func.sum(Allocation.amount)
    query = select(Allocation.invoice_id, part).where(Allocation.payment_id == payment_id)
    query = query.group_by(Allocation.invoice_id).having(part != ZERO).order_by(Allocation.invoice_id)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def let_off_with(work: Work, payment_id: str) -> list[tuple[str, Decimal]]:
    """What was let off for prompt payment with a payment, by invoice."""
    part = func.sum(Adjustment.amount)
    query = select(Adjustment.invoice_id, part).where(
        Adjustment.payment_id == payment_id, Adjustment.kind == "prompt payment"
    )
    query = query.group_by(Adjustment.invoice_id).having(part != ZERO).order_by(Adjustment.invoice_id)
    return [(str(row[0]), row[1]) for row in work.session.execute(query)]


def bounces(work: Work, payment_ids: Collection[str]) -> dict[str, Adjustment]:
    """Of these payments those that did not hold, by the payment's id."""
    query = select(Adjustment).where(Adjustment.payment_id.in_(payment_ids), Adjustment.kind == "bounced")
    return {str(row.payment_id): row for row in work.session.scalars(query)}


def sources(work: Work, company_id: str) -> list[Source]:
    """What a builder's credit is made of, the oldest first. The ledger says how much is left of each.

    A payment that bounced after it was refunded is less than nothing, and no source: the balance knows.
    """
    left, first = -func.sum(Posting.amount), func.min(LedgerEntry.seq)
    query = (
        select(LedgerEntry.source_id, left).join(Posting, Posting.entry_seq == LedgerEntry.seq)
        .where(Posting.company_id == company_id, Posting.account == CREDITS)
        .group_by(LedgerEntry.source_id).having(left > ZERO).order_by(first)
    )  # fmt: skip
    found = [(row[0], row[1]) for row in work.session.execute(query)]
    ids = [id_ for id_, _ in found]
    came = set(work.session.scalars(select(Payment.id).where(Payment.id.in_(ids))))
    return [Source("payment" if id_ in came else "credit note", id_, amount) for id_, amount in found]


def payments(
    work: Work, *, company_id: str | None = None, ids: Collection[str] = (), amount: Decimal | None = None,
    limit: int = 50, offset: int = 0,
) -> list[tuple[Payment, str]]:  # fmt: skip
    """Payments with the names of their builders, the last recorded first."""
    query = select(Payment, Company.name).join(Company, Company.id == Payment.company_id)
    query = query.where(Payment.company_id == company_id) if company_id is not None else query
    query = query.where(Payment.id.in_(ids)) if ids else query
    query = query.where(Payment.amount == amount) if amount is not None else query
    query = query.order_by(Payment.recorded_at.desc(), Payment.id).limit(limit).offset(offset)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def invoices_paid(work: Work, payment_ids: Collection[str]) -> list[tuple[str, Invoice, Decimal]]:
    """What these payments pay now: payment, invoice, how much."""
    part = func.sum(Allocation.amount)
    sums = (
        select(Allocation.payment_id, Allocation.invoice_id, part.label("part"))
        .where(Allocation.payment_id.in_(payment_ids))
        .group_by(Allocation.payment_id, Allocation.invoice_id).having(part != ZERO).subquery()
    )  # fmt: skip
    query = (
        select(sums.c.payment_id, Invoice, sums.c.part).join(Invoice, Invoice.id == sums.c.invoice_id)
        .order_by(Invoice.due_on, Invoice.number)
    )  # fmt: skip
    return [(row[0], row[1], row[2]) for row in work.session.execute(query)]


def allocations(work: Work, payment_id: str) -> list[tuple[Allocation, str, str]]:
    """Everything a payment ever paid and what of that was undone, with invoice number and lot, in order."""
    query = (
        _columns(Allocation, Invoice.number, Invoice.lot_id)
        .join(Invoice, Invoice.id == Allocation.invoice_id)
        .where(Allocation.payment_id == payment_id).order_by(Allocation.seq)
    )  # fmt: skip
    return [(row[0], row[1], row[2]) for row in work.session.execute(query)]


def refunded_of(work: Work, payment_ids: Collection[str]) -> dict[str, Decimal]:
    """How much of each of these payments was paid back."""
    query = select(Adjustment.payment_id, func.sum(Adjustment.amount)).where(
        Adjustment.payment_id.in_(payment_ids), Adjustment.kind == "refunded"
    )
    return {str(row[0]): row[1] for row in work.session.execute(query.group_by(Adjustment.payment_id))}


def lot_names(work: Work, ids: Collection[str]) -> dict[str, str]:
    """What these lots are called."""
    return {row[0]: row[1] for row in work.session.execute(select(Lot.id, Lot.name).where(Lot.id.in_(ids)))}


def adjustments(work: Work, company_id: str, kinds: Iterable[str], limit: int = 50) -> list[Adjustment]:
    """What else happened to a builder's money, of these kinds, the last first."""
    query = select(Adjustment).where(Adjustment.company_id == company_id, Adjustment.kind.in_(list(kinds)))
    return list(work.session.scalars(query.order_by(Adjustment.made_at.desc(), Adjustment.id).limit(limit)))


def accounts(work: Work) -> list[tuple[str, str, Decimal, Decimal]]:
    """Builders by name: what is open of theirs now, and what they have to their credit."""
    sums = (
        select(Posting.company_id, Posting.account, func.sum(Posting.amount).label("amount"))
        .where(Posting.account.in_((RECEIVABLE, CREDITS))).group_by(Posting.company_id, Posting.account)
    )  # fmt: skip
    found: dict[str, dict[str, Decimal]] = {}
    for company_id, account, amount in work.session.execute(sums):
        found.setdefault(company_id, {})[account] = amount
    rows = work.session.execute(select(Company.id, Company.name).order_by(Company.name))
    return [
        (id_, name, found.get(id_, {}).get(RECEIVABLE, ZERO), -found.get(id_, {}).get(CREDITS, ZERO))
        for id_, name in rows
    ]


def bounced_on(work: Work, invoice_ids: Sequence[str]) -> list[tuple[str, Adjustment]]:
    """Payments of these invoices that did not hold: invoice and what was recorded of it, the last first."""
    query = (
        select(Allocation.invoice_id, Adjustment)
        .join(Adjustment, Adjustment.payment_id == Allocation.payment_id)
        .where(Allocation.invoice_id.in_(invoice_ids), Adjustment.kind == "bounced", Allocation.amount < ZERO)
        .order_by(Adjustment.made_at.desc(), Adjustment.id)
    )  # fmt: skip
    return [(row[0], row[1]) for row in work.session.execute(query)]


def unpaid_in_force(work: Work, owing_states: Collection[str]) -> list[tuple[Any, ...]]:
    """Lots whose warranty is in force, whose invoice is owed again because a payment did not hold.

    Lot id, lot, builder, invoice number, warranty number, the day it bounced.
    """
    bounced: Any = func.max(Adjustment.on)
    query = (
        _columns(Lot.id, Lot.name, Company.name, Invoice.number, Warranty.number, bounced)
        .join(InvoiceLot, (InvoiceLot.lot_id == Lot.id) & InvoiceLot.speaks)
        .join(Invoice, Invoice.id == InvoiceLot.invoice_id).join(Warranty, Warranty.lot_id == Lot.id)
        .join(Company, Company.id == Lot.company_id)
        .join(Allocation, Allocation.invoice_id == Invoice.id)
        .join(Adjustment, Adjustment.payment_id == Allocation.payment_id)
        .where(Adjustment.kind == "bounced", Invoice.state.in_(owing_states), Warranty.state == "in force")
        .group_by(Lot.id, Lot.name, Company.name, Invoice.number, Warranty.number)
        .order_by(bounced, Lot.id)
    )  # fmt: skip
    return [tuple(row) for row in work.session.execute(query)]
