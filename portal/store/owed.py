"""Finds and adds invoices, payments, what pays what, and the numbers of papers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import bindparam, func, select, update
from sqlalchemy.dialects import postgresql, sqlite

from portal.core.errors import NotFound
from portal.core.money.invoice import number_of
from portal.store.tables import Adjustment, Allocation, CreditNote, Invoice, InvoiceLot, NumberSeries, Payment
from portal.store.transaction import Work


def next_number(work: Work, prefix: str, year: int) -> str:
    """The next number of a yearly series, without gaps: it is counted in the caller's own transaction.

    The row is held until that transaction ends, so a second writer waits, and
    what is rolled back gives its number back. One statement, because the first
    two of a year would otherwise both find no row and both make one.

    Of invoices and credit notes, take the number through `acts/issuing.py`: it holds the head of the
    history first, so that no two writers wait for each other.
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


def numbers(work: Work, invoice_ids: Iterable[str]) -> dict[str, str]:
    """The numbers of these invoices, by id."""
    query = select(Invoice.id, Invoice.number).where(Invoice.id.in_(list(invoice_ids)))
    return {row[0]: row[1] for row in work.session.execute(query)}


def locked_invoice(work: Work, invoice_id: str) -> Invoice:
    """The invoice, held against every other writer until this transaction ends."""
    query = select(Invoice).where(Invoice.id == invoice_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("invoice", invoice_id)
    return found


def invoice_of(work: Work, lot_id: str) -> Invoice | None:
    """The invoice that speaks for a lot: that of its treatment."""
    query = select(Invoice).join(InvoiceLot, InvoiceLot.invoice_id == Invoice.id)
    return work.session.scalar(query.where(InvoiceLot.lot_id == lot_id, InvoiceLot.speaks))


def invoices_of(work: Work, lot_id: str) -> list[Invoice]:
    """Every invoice that a lot is in, in the order they were issued."""
    query = select(Invoice).join(InvoiceLot, InvoiceLot.invoice_id == Invoice.id)
    query = query.where(InvoiceLot.lot_id == lot_id).order_by(Invoice.issued_on, Invoice.number)
    return list(work.session.scalars(query))


def lots_of(work: Work, invoice_id: str) -> list[InvoiceLot]:
    """The lots that an invoice is for."""
    query = select(InvoiceLot).where(InvoiceLot.invoice_id == invoice_id).order_by(InvoiceLot.lot_id)
    return list(work.session.scalars(query))


def add_invoice(
    work: Work, *, number: str, kind: str, lot_ids: Sequence[str], speaks: bool, company_id: str,
    document: dict[str, Any], fingerprint: str, total: Decimal, issued_on: date, due_on: date,
    retained: Decimal = Decimal("0.00"), package_id: str | None = None, rebills_id: str | None = None,
) -> Invoice:  # fmt: skip
    """A new invoice, issued, for these lots; it stands with the first. `speaks`: for them, from now on."""
    row = Invoice(
        id=work.new_id(), number=number, kind=kind, lot_id=lot_ids[0], company_id=company_id,
        document=document, fingerprint=fingerprint, total=total, retained=retained, state="issued",
        issued_on=issued_on, due_on=due_on, package_id=package_id, rebills_id=rebills_id,
    )  # fmt: skip
    work.add(row)
    if speaks:
        spoke = update(InvoiceLot).where(InvoiceLot.lot_id.in_(lot_ids), InvoiceLot.speaks)
        work.session.execute(spoke.values(speaks=False))
    for lot_id in lot_ids:
        work.put(InvoiceLot(invoice_id=row.id, lot_id=lot_id, speaks=speaks))
    return row


def payments(work: Work, invoice_id: str) -> list[tuple[Payment, Decimal]]:
    """What paid an invoice and how much of it, in the order it was recorded; what was undone is not there."""
    part = func.sum(Allocation.amount)
    query = (
        select(Payment, part)
        .join(Allocation, Allocation.payment_id == Payment.id)
        .where(Allocation.invoice_id == invoice_id)
        .group_by(Payment.id)
        .having(part != Decimal("0.00"))
        .order_by(Payment.recorded_at, Payment.id)
    )  # fmt: skip
    return [(row[0], row[1]) for row in work.session.execute(query)]


def paid(work: Work, invoice_id: str) -> Decimal:
    """What payments and credits have paid of an invoice so far."""
    query = select(func.sum(Allocation.amount)).where(Allocation.invoice_id == invoice_id)
    total = work.session.scalar(query)
    return total if total is not None else Decimal("0.00")


def payment(work: Work, payment_id: str, *, company_id: str | None = None) -> Payment:
    """The payment; with `company_id`, only where it is that company's. Raises `NotFound`."""
    found = work.session.get(Payment, payment_id)
    if found is None or (company_id is not None and found.company_id != company_id):
        raise NotFound("payment", payment_id)
    return found


def add_payment(
    work: Work, *, company_id: str, amount: Decimal, method: str, reference: str, received_on: date, by: str
) -> Payment:
    """Money that came from a builder."""
    row = Payment(
        id=work.new_id(), company_id=company_id, amount=amount, method=method, reference=reference,
        received_on=received_on, recorded_by=by, recorded_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def allocate(
    work: Work, *, invoice_id: str, amount: Decimal, by: str, payment_id: str | None = None,
    credit_note_id: str | None = None,
) -> Allocation:  # fmt: skip
    """So much of a payment or of a credit note pays an invoice; less than zero undoes it."""
    row = Allocation(
        payment_id=payment_id, credit_note_id=credit_note_id, invoice_id=invoice_id, amount=amount,
        made_by=by, made_at=work.now,
    )  # fmt: skip
    work.put(row)
    return row


def add_adjustment(
    work: Work, *, kind: str, company_id: str, amount: Decimal, on: date, by: str,
    invoice_id: str | None = None, payment_id: str | None = None, method: str = "", reference: str = "",
    reason: str = "",
) -> Adjustment:  # fmt: skip
    """What else happened to money."""
    row = Adjustment(
        id=work.new_id(), kind=kind, company_id=company_id, invoice_id=invoice_id, payment_id=payment_id,
        amount=amount, method=method, reference=reference, reason=reason, on=on, made_by=by, made_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def add_credit_note(
    work: Work, *, number: str, invoice_id: str, company_id: str, document: dict[str, Any], fingerprint: str,
    total: Decimal, issued_on: date,
) -> CreditNote:  # fmt: skip
    """A new credit note. `total` is what it takes off what the invoice itself asked for."""
    row = CreditNote(
        id=work.new_id(), number=number, invoice_id=invoice_id, company_id=company_id, document=document,
        fingerprint=fingerprint, total=total, issued_on=issued_on,
    )  # fmt: skip
    work.add(row)
    return row


def credit_notes(work: Work, invoice_id: str) -> list[CreditNote]:
    """The credit notes of an invoice, in the order of their numbers."""
    query = select(CreditNote).where(CreditNote.invoice_id == invoice_id)
    return list(work.session.scalars(query.order_by(CreditNote.issued_on, CreditNote.number)))


def credited(work: Work, invoice_id: str) -> Decimal:
    """What credit notes took back of an invoice."""
    query = select(func.sum(CreditNote.total)).where(CreditNote.invoice_id == invoice_id)
    total = work.session.scalar(query)
    return total if total is not None else Decimal("0.00")


def written_off(work: Work, invoice_id: str) -> bool:
    """Whether something of an invoice was written off."""
    query = select(Adjustment.id).where(Adjustment.invoice_id == invoice_id, Adjustment.kind == "written off")
    return work.session.scalar(query.limit(1)) is not None
