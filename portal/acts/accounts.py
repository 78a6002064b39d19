"""What came from builders and what it pays, as the office's pages and the builder's own show it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_be_owner, must_have
from portal.acts.releasing import due_now
from portal.acts.settling import prompt_until
from portal.core.errors import NotFound
from portal.core.money.paying import ZERO
from portal.store import books, owed, payments, people, warranties
from portal.store.transaction import Work

PAGE = 50


@dataclass(frozen=True, slots=True)
class AccountRow:
    """A builder: what is asked for of it now, and what it has to its credit."""

    company_id: str
    name: str
    asks: Decimal
    credit: Decimal


@dataclass(frozen=True, slots=True)
class OwingRow:
    """An invoice that asks for something now. `off` comes off where the rest is paid by `off_until`."""

    id: str
    number: str
    lot: str
    lot_id: str
    issued_on: date
    due_on: date
    total: Decimal
    asks: Decimal
    off: Decimal = ZERO
    off_until: date | None = None


@dataclass(frozen=True, slots=True)
class PaidRow:
    """An invoice that a payment pays, and how much of it."""

    id: str
    number: str
    lot: str
    lot_id: str
    amount: Decimal
    off: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """A payment. `kept` is what is left of it as credit; `bounced_on` the day it turned out not to hold."""

    id: str
    company_id: str
    company: str
    received_on: date
    method: str
    reference: str
    amount: Decimal
    pays: tuple[PaidRow, ...]
    kept: Decimal
    refunded: Decimal
    recorded_by: str
    recorded_at: datetime
    bounced_on: date | None = None
    bounced_why: str = ""
    mistake: bool = False


@dataclass(frozen=True, slots=True)
class Account:
    """A builder's account: its credit, what it owes, what came, what was paid back."""

    company_id: str
    name: str
    credit: Decimal
    owing: tuple[OwingRow, ...]
    payments: tuple[PaymentRow, ...]
    refunds: tuple[tuple[date, Decimal, str, str, str], ...]

    @property
    def asks(self) -> Decimal:
        """All that is open now."""
        return sum((row.asks for row in self.owing), ZERO)


def accounts(parts: Parts, who: Actor) -> tuple[AccountRow, ...]:
    """Every builder with what is open and what it has to its credit."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return tuple(AccountRow(*row) for row in payments.accounts(work))


def account(parts: Parts, who: Actor, company_id: str, on: date | None = None) -> Account:
    """A builder's account, for the office. What the terms let off is as of `on`, else as of today."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return _account(work, company_id, on or parts.today())


def own_account(parts: Parts, who: Actor) -> Account:
    """A builder's own account."""
    must_be(who, "builder")
    must_have(who, "money")
    if who.company_id is None:
        raise NotFound("account")
    with parts.store.reading() as work:
        return _account(work, who.company_id, parts.today())


def _account(work: Work, company_id: str, on: date) -> Account:
    company = people.company(work, company_id)
    found = payments.owing(work, company_id)
    lots = payments.lot_names(work, {invoice.lot_id for invoice, _ in found})
    came, days = payments.payments(work, company_id=company_id), payments.due_days(work, found)
    back = payments.adjustments(work, company_id, ("refunded",))
    return Account(
        company.id, company.name, books.credit_of(work, company_id),
        tuple(sorted((_owing(work, invoice, asks, lots, on, days[invoice.id]) for invoice, asks in found),
                     key=lambda row: row.due_on)), _rows(work, came),
        tuple((one.on, one.amount, one.method, one.reference, one.reason) for one in back),
    )  # fmt: skip


def _owing(work: Work, invoice: Any, asks: Decimal, lots: dict[str, str], on: date, due_on: date) -> OwingRow:
    off, until = prompt_until(work, invoice, asks, on)
    return OwingRow(
        invoice.id, invoice.number, lots[invoice.lot_id], invoice.lot_id, invoice.issued_on, due_on,
        invoice.total, asks, off, until,
    )  # fmt: skip


def newest(parts: Parts, who: Actor, offset: int = 0) -> tuple[tuple[PaymentRow, ...], int | None]:
    """Payments of all builders, the last recorded first, and the offset of the next page."""
    must_be(who, "office")
    with parts.store.reading() as work:
        found = payments.payments(work, limit=PAGE + 1, offset=offset)
        return _rows(work, found[:PAGE]), offset + PAGE if len(found) > PAGE else None


def _rows(work: Work, found: list[tuple[Any, str]]) -> tuple[PaymentRow, ...]:
    ids = [payment.id for payment, _ in found]
    bounced, back = payments.bounces(work, ids), payments.refunded_of(work, ids)
    paid = payments.invoices_paid(work, ids)
    lots = payments.lot_names(work, {invoice.lot_id for _, invoice, _ in paid})
    pays: dict[str, list[PaidRow]] = {}
    for payment_id, invoice, part in paid:
        row = PaidRow(invoice.id, invoice.number, lots[invoice.lot_id], invoice.lot_id, part)
        pays.setdefault(payment_id, []).append(row)
    return tuple(
        _row(payment, company, tuple(pays.get(payment.id, ())), back.get(payment.id, ZERO),
             bounced.get(payment.id))
        for payment, company in found
    )  # fmt: skip


def _row(
    payment: Any, company: str, pays: tuple[PaidRow, ...], refunded: Decimal, bounced: Any
) -> PaymentRow:
    kept = payment.amount - sum((row.amount for row in pays), ZERO) - refunded
    return PaymentRow(
        payment.id, payment.company_id, company, payment.received_on, payment.method, payment.reference,
        payment.amount, pays, ZERO if bounced else kept, refunded, payment.recorded_by, payment.recorded_at,
        bounced.on if bounced else None, bounced.reason if bounced else "",
        bool(bounced) and bounced.reference == "mistake",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class PaymentPage:
    """A payment with all that happened to it. `unpaid` are lots whose warranty is in force although."""

    row: PaymentRow
    steps: tuple[tuple[datetime, str, str, Decimal, str], ...]
    in_force: tuple[tuple[str, str], ...]
    credit: Decimal


def payment(parts: Parts, who: Actor, payment_id: str) -> PaymentPage:
    """A payment: what came, what it pays, what happened to it."""
    must_be(who, "office")
    with parts.store.reading() as work:
        found = owed.payment(work, payment_id)
        (row,) = _rows(work, payments.payments(work, ids=[found.id]))
        row = _with_offs(work, row)
        made = payments.allocations(work, found.id)
        lot_ids = {lot_id for allocation, _, lot_id in made}
        steps = tuple((one.made_at, number, lot_id, one.amount, one.made_by) for one, number, lot_id in made)
        return PaymentPage(
            row, steps, _in_force(work, lot_ids), books.credit_of(work, found.company_id),
        )  # fmt: skip


def _with_offs(work: Work, row: PaymentRow) -> PaymentRow:
    offs = dict(payments.let_off_with(work, row.id))
    return replace(row, pays=tuple(replace(one, off=offs.get(one.id, ZERO)) for one in row.pays))


def _in_force(work: Work, lot_ids: set[str]) -> tuple[tuple[str, str], ...]:
    """Lots of these whose warranty is in force: their id and the warranty's number."""
    found = [(lot_id, warranties.warranty_of(work, lot_id)) for lot_id in sorted(lot_ids)]
    return tuple((id_, one.number) for id_, one in found if one is not None and one.state == "in force")


@dataclass(frozen=True, slots=True)
class InvoiceToWriteOff:
    """An invoice of which something may be given up."""

    id: str
    number: str
    company_id: str
    company: str
    lot: str
    lot_id: str
    due_on: date
    total: Decimal
    open: Decimal


def invoice_open(parts: Parts, who: Actor, invoice_id: str) -> InvoiceToWriteOff:
    """What is open of an invoice, what is held back included. For who may write it off."""
    must_be_owner(who)
    with parts.store.reading() as work:
        found = owed.invoice(work, invoice_id)
        return InvoiceToWriteOff(
            found.id, found.number, found.company_id, people.company(work, found.company_id).name,
            payments.lot_names(work, [found.lot_id])[found.lot_id], found.lot_id, due_now(work, found),
            found.total, books.open_of(work, found.id),
        )  # fmt: skip
