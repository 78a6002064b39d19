"""Finds and adds invoices, payments and the numbers of papers."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import bindparam, func, select
from sqlalchemy.dialects import postgresql, sqlite

from portal.core.errors import NotFound
from portal.core.money.invoice import number_of
from portal.store.tables import Invoice, NumberSeries, Payment
from portal.store.transaction import Work


def next_number(work: Work, prefix: str, year: int) -> str:
    """The next number of a yearly series, without gaps: it is counted in the caller's own transaction.

    The row is held until that transaction ends, so a second writer waits, and
    what is rolled back gives its number back. One statement, because the first
    two of a year would otherwise both find no row and both make one.
    """
    counted = _counted(work.session.get_bind().dialect.name)
    last = work.session.connection().execute(counted, {"name": f"{prefix}-{year}"}).scalar_one()
    return number_of(prefix, year, last)


@cache
def _counted(dialect: str) -> Any:
    insert = postgresql.insert if dialect == "postgresql" else sqlite.insert
    first = insert(NumberSeries).values(name=bindparam("name"), last=1)
    again = {"last": NumberSeries.last + 1}
    counted = first.on_conflict_do_update(index_elements=[NumberSeries.name], set_=again)
    return counted.returning(NumberSeries.last)


def invoice(work: Work, invoice_id: str, *, company_id: str | None = None) -> Invoice:
    """The invoice; with `company_id`, only where it is that company's. Raises `NotFound`."""
    found = work.session.get(Invoice, invoice_id)
    if found is None or (company_id is not None and found.company_id != company_id):
        raise NotFound("invoice", invoice_id)
    return found


def locked_invoice(work: Work, invoice_id: str) -> Invoice:
    """The invoice, held against every other writer until this transaction ends."""
    query = select(Invoice).where(Invoice.id == invoice_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("invoice", invoice_id)
    return found


def invoice_of(work: Work, lot_id: str) -> Invoice | None:
    """A lot's invoice."""
    return work.session.scalar(select(Invoice).where(Invoice.lot_id == lot_id))


def add_invoice(
    work: Work, *, number: str, lot_id: str, company_id: str, document: dict[str, Any], fingerprint: str,
    total: Decimal, issued_on: date, due_on: date,
) -> Invoice:  # fmt: skip
    """A new invoice, issued."""
    row = Invoice(
        id=work.new_id(), number=number, lot_id=lot_id, company_id=company_id, document=document,
        fingerprint=fingerprint, total=total, state="issued", issued_on=issued_on, due_on=due_on,
    )  # fmt: skip
    work.put(row)
    return row


def payments(work: Work, invoice_id: str) -> list[Payment]:
    """What came on an invoice, in the order it was recorded."""
    query = select(Payment).where(Payment.invoice_id == invoice_id).order_by(Payment.recorded_at, Payment.id)
    return list(work.session.scalars(query))


def paid(work: Work, invoice_id: str) -> Decimal:
    """What is paid of an invoice so far."""
    total = work.session.scalar(select(func.sum(Payment.amount)).where(Payment.invoice_id == invoice_id))
    return total if total is not None else Decimal("0.00")


def add_payment(
    work: Work, *, invoice_id: str, amount: Decimal, method: str, reference: str, received_on: date, by: str
) -> Payment:
    """Money that came."""
    row = Payment(
        id=work.new_id(), invoice_id=invoice_id, amount=amount, method=method, reference=reference,
        received_on=received_on, recorded_by=by, recorded_at=work.now,
    )  # fmt: skip
    work.put(row)
    return row
