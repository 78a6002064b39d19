"""A builder's account out of the ledger, and the statements that were made of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import func, select

from portal.core.errors import NotFound
from portal.core.money.dues import Due, Release, dues
from portal.core.money.ledger import CREDITS, RECEIVABLE, RETAINAGE
from portal.store.chasing import of
from portal.store.dues import releases
from portal.store.tables import Invoice, LedgerEntry, Lot, Posting, Statement
from portal.store.transaction import Work

ZERO = Decimal("0.00")
#: What a builder owes: what its invoices ask for, less what it has to its credit.
ACCOUNT = (RECEIVABLE, CREDITS)


@dataclass(frozen=True, slots=True)
class AccountRow:
    """An entry as it touches a builder's account, and the numbers of the invoices in it."""

    seq: int
    day: date
    event: str
    subject: str
    source_id: str
    amount: Decimal
    invoices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OpenRow:
    """What an invoice asked for on a day."""

    id: str
    number: str
    lot: str
    issued_on: date
    due_on: date
    open: Decimal
    dues: tuple[Due, ...] = ()


def balance(work: Work, company_id: str, accounts: Iterable[str], until: date) -> Decimal:
    """What a builder's postings to some accounts come to, up to a day and with it."""
    query = (
        select(func.sum(Posting.amount)).join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq)
        .where(Posting.company_id == company_id, Posting.account.in_(tuple(accounts)))
        .where(LedgerEntry.on <= until)
    )  # fmt: skip
    total = work.session.scalar(query)
    return total if total is not None else ZERO


def balance_before(work: Work, company_id: str, day: date) -> Decimal:
    """What a builder owed, less its credit, before a day began."""
    return balance(work, company_id, ACCOUNT, day - timedelta(days=1))


def account_rows(work: Work, company_id: str, first: date, last: date) -> list[AccountRow]:
    """A builder's entries of a time, in the order of their days.

    What only moves money within the account, as when a credit pays an invoice, is not among them.
    """
    query = (
        select(LedgerEntry.seq, LedgerEntry.on, LedgerEntry.event, LedgerEntry.subject, LedgerEntry.source_id,
               of(*ACCOUNT))
        .join(Posting, Posting.entry_seq == LedgerEntry.seq)
        .where(LedgerEntry.company_id == company_id, LedgerEntry.on.between(first, last))
        .group_by(LedgerEntry.seq).order_by(LedgerEntry.on, LedgerEntry.seq)
    )  # fmt: skip
    rows = [row for row in work.session.execute(query) if row[5] != 0 or row[2] == "invoiced"]
    touched = _invoices(work, company_id, first, last)
    return [
        AccountRow(seq, day, event, subject, source_id, amount, touched.get(seq, ()))
        for seq, day, event, subject, source_id, amount in rows
    ]


def _invoices(work: Work, company_id: str, first: date, last: date) -> dict[int, tuple[str, ...]]:
    query = (
        select(Posting.entry_seq, Invoice.number).distinct()
        .join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq)
        .join(Invoice, Invoice.id == Posting.invoice_id)
        .where(LedgerEntry.company_id == company_id, LedgerEntry.on.between(first, last))
        .order_by(Invoice.number)
    )  # fmt: skip
    found: dict[int, tuple[str, ...]] = {}
    for seq, number in work.session.execute(query):
        found[seq] = (*found.get(seq, ()), number)
    return found


def lots_of_invoices(work: Work, invoice_ids: Iterable[str]) -> dict[str, str]:
    """The lot that each of these invoices stands with, as a line names it."""
    query = select(Invoice.id, Lot.name + ", " + Lot.house_number + " " + Lot.street)
    query = query.join(Lot, Lot.id == Invoice.lot_id).where(Invoice.id.in_(tuple(invoice_ids)))
    return {row[0]: row[1] for row in work.session.execute(query)}


def open_rows(work: Work, company_id: str, until: date) -> list[OpenRow]:
    """What each of a builder's invoices asked for on a day, where it did; what is due first on top."""
    open_ = func.sum(Posting.amount)
    query = (
        select(Invoice.id, Invoice.number, Lot.name + ", " + Lot.house_number + " " + Lot.street,
               Invoice.issued_on, Invoice.due_on, open_, Invoice.retained)
        .join(Posting, Posting.invoice_id == Invoice.id)
        .join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq).join(Lot, Lot.id == Invoice.lot_id)
        .where(Posting.company_id == company_id, Posting.account == RECEIVABLE, LedgerEntry.on <= until)
        .group_by(Invoice.id, Lot.id).having(open_ != ZERO).order_by(Invoice.due_on, Invoice.number)
    )  # fmt: skip
    found = list(work.session.execute(query))
    released = releases(work, [row[0] for row in found if row[-1]], until)
    rows = [_with_dues(OpenRow(*row[:-1]), released.get(row[0], ())) for row in found]
    return sorted(rows, key=lambda row: (row.due_on, row.number))


def _with_dues(row: OpenRow, released: tuple[Release, ...]) -> OpenRow:
    parts = dues(row.due_on, row.open, released)
    return replace(row, due_on=parts[0].day, dues=parts)


def held_back(work: Work, company_id: str, until: date) -> Decimal:
    """What is held back of a builder's invoices until it is released."""
    return balance(work, company_id, (RETAINAGE,), until)


def credit(work: Work, company_id: str, until: date) -> Decimal:
    """What a builder had to its credit on a day."""
    return -balance(work, company_id, (CREDITS,), until)


def statement(work: Work, statement_id: str, *, company_id: str | None = None) -> Statement:
    """A statement; with `company_id`, only where it is that company's. Raises `NotFound`."""
    found = work.session.get(Statement, statement_id)
    if found is None or (company_id is not None and found.company_id != company_id):
        raise NotFound("statement", statement_id)
    return found


def statements(work: Work, company_id: str, limit: int = 50) -> list[Statement]:
    """A builder's statements, the newest on top."""
    query = select(Statement).where(Statement.company_id == company_id)
    query = query.order_by(Statement.made_at.desc(), Statement.number.desc()).limit(limit)
    return list(work.session.scalars(query))


def add_statement(work: Work, **values: Any) -> Statement:
    """A statement, made now."""
    row = Statement(id=work.new_id(), made_at=work.now, sent_at=None, **values)
    work.add(row)
    return row
