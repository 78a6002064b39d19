"""Finds what is owed and late, and what goes on about it: reminders, disputes, promises, billed interest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, case, func, select

from portal.core.journey import OWING
from portal.core.money.dues import Due, Release, dues
from portal.core.money.ledger import RECEIVABLE, RETAINAGE
from portal.store.dues import releases
from portal.store.tables import (
    BilledInterest,
    Company,
    Dispute,
    Edition,
    Invoice,
    LedgerEntry,
    Lot,
    PaymentPromise,
    Posting,
    Reminder,
)
from portal.store.transaction import Work

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class OwedRow:
    """An invoice that asks for something now. `held_back` is what it will ask for once it is released.

    `due_on` is the day by which the first of what is open is due, and `dues` all of it by its days.
    """

    id: str
    number: str
    kind: str
    state: str
    lot_id: str
    lot: str
    company_id: str
    company: str
    issued_on: date
    due_on: date
    total: Decimal
    open: Decimal
    held_back: Decimal
    dues: tuple[Due, ...] = ()


def of(*accounts: str) -> Any:
    """The sum of these accounts' postings."""
    return func.sum(case((Posting.account.in_(accounts), Posting.amount), else_=ZERO))


def owed_rows(
    work: Work, *, company_id: str | None = None, invoice_ids: list[str] | None = None
) -> list[OwedRow]:
    """Every invoice that asks for something now, what is due first on top."""
    sums = (
        select(Posting.invoice_id, of(RECEIVABLE).label("open"), of(RETAINAGE).label("held"))
        .where(Posting.account.in_((RECEIVABLE, RETAINAGE))).group_by(Posting.invoice_id).subquery()
    )  # fmt: skip
    columns: tuple[Any, ...] = (
        Invoice.id, Invoice.number, Invoice.kind, Invoice.state, Invoice.lot_id,
        Lot.name + ", " + Lot.house_number + " " + Lot.street, Invoice.company_id, Company.name,
        Invoice.issued_on, Invoice.due_on, Invoice.total, sums.c.open, sums.c.held, Invoice.retained,
    )  # fmt: skip
    query = (
        select(*columns)
        .join(Lot, Lot.id == Invoice.lot_id).join(Company, Company.id == Invoice.company_id)
        .join(sums, sums.c.invoice_id == Invoice.id)
        .where(Invoice.state.in_(OWING), sums.c.open > ZERO).order_by(Invoice.due_on, Invoice.number)
    )  # fmt: skip
    if company_id is not None:
        query = query.where(Invoice.company_id == company_id)
    if invoice_ids is not None:
        query = query.where(Invoice.id.in_(invoice_ids))
    found = list(work.session.execute(query))
    released = releases(work, [row[0] for row in found if row[-1]])
    rows = [_with_dues(OwedRow(*row[:-1]), released.get(row[0], ())) for row in found]
    return sorted(rows, key=lambda row: (row.due_on, row.number))


def _with_dues(row: OwedRow, released: tuple[Release, ...]) -> OwedRow:
    parts = dues(row.due_on, row.open, released)
    return replace(row, due_on=parts[0].day, dues=parts)


def _owing(company_id: str | None) -> Select[Any]:
    query = select(Invoice.id).where(Invoice.state.in_(OWING))
    return query if company_id is None else query.where(Invoice.company_id == company_id)


def last_reminders(work: Work, company_id: str | None = None) -> dict[str, Reminder]:
    """The last step that was sent for each invoice that is open."""
    query = select(Reminder).where(Reminder.invoice_id.in_(_owing(company_id))).order_by(Reminder.days)
    return {row.invoice_id: row for row in work.session.scalars(query)}


def open_disputes(work: Work, company_id: str | None = None) -> dict[str, Dispute]:
    """The open disputes of invoices that are open."""
    query = select(Dispute).where(Dispute.settled_at.is_(None), Dispute.invoice_id.in_(_owing(company_id)))
    return {row.invoice_id: row for row in work.session.scalars(query)}


def newest_promises(work: Work, company_id: str | None = None) -> dict[str, PaymentPromise]:
    """The promise that holds of each invoice that is open and has one."""
    query = select(PaymentPromise).where(PaymentPromise.invoice_id.in_(_owing(company_id)))
    query = query.order_by(PaymentPromise.made_at, PaymentPromise.id)
    return {row.invoice_id: row for row in work.session.scalars(query)}


def reminders_of(work: Work, invoice_id: str) -> list[Reminder]:
    """Every step that was sent for an invoice, the last on top."""
    query = select(Reminder).where(Reminder.invoice_id == invoice_id).order_by(Reminder.days.desc())
    return list(work.session.scalars(query))


def disputes_of(work: Work, invoice_id: str) -> list[Dispute]:
    """The disputes of an invoice, the open one on top, then the newest."""
    query = select(Dispute).where(Dispute.invoice_id == invoice_id)
    return list(
        work.session.scalars(query.order_by(Dispute.settled_at.is_not(None), Dispute.opened_at.desc()))
    )


def promises_of(work: Work, invoice_id: str) -> list[PaymentPromise]:
    """What was promised about an invoice, the newest on top."""
    query = select(PaymentPromise).where(PaymentPromise.invoice_id == invoice_id)
    return list(work.session.scalars(query.order_by(PaymentPromise.made_at.desc(), PaymentPromise.id.desc())))


def billed_interest_of(work: Work, invoice_id: str) -> list[tuple[BilledInterest, Invoice]]:
    """What was billed of an invoice's interest, in the order of its days, each with its own invoice."""
    query = select(BilledInterest, Invoice).join(Invoice, Invoice.id == BilledInterest.bill_id)
    query = query.where(BilledInterest.invoice_id == invoice_id).order_by(BilledInterest.first_day)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def asked_by_day(work: Work, invoice_id: str) -> list[tuple[date, Decimal]]:
    """What an invoice asks for, by the day on which each change happened, wherever it counts in the books."""
    query = (
        select(LedgerEntry.happened_on, func.sum(Posting.amount))
        .join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq)
        .where(Posting.invoice_id == invoice_id, Posting.account == RECEIVABLE)
        .group_by(LedgerEntry.happened_on).order_by(LedgerEntry.happened_on)
    )  # fmt: skip
    return [(row[0], row[1]) for row in work.session.execute(query)]


def locked_invoices(work: Work, invoice_ids: list[str]) -> list[Invoice]:
    """These invoices, held against every other writer, in one order."""
    query = select(Invoice).where(Invoice.id.in_(invoice_ids)).order_by(Invoice.id).with_for_update()
    return list(work.session.scalars(query.execution_options(populate_existing=True)))


def edition_on(work: Work, day: date) -> Edition | None:
    """What the office has entered of chasing that holds on a day, if it has."""
    query = select(Edition).where(Edition.kind == "chasing", Edition.first_day <= day)
    return work.session.scalar(query.order_by(Edition.first_day.desc(), Edition.number.desc()).limit(1))


def add_reminder(work: Work, invoice_id: str, *, days: int, edition: int, told: int, on: date) -> Reminder:
    """A step that went out."""
    row = Reminder(
        id=work.new_id(), invoice_id=invoice_id, days=days, edition=edition, told=told, sent_on=on,
        sent_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def add_dispute(work: Work, invoice_id: str, *, reason: str, by: str) -> Dispute:
    """A dispute, open."""
    row = Dispute(
        id=work.new_id(), invoice_id=invoice_id, reason=reason, opened_by=by, opened_at=work.now, words="",
        settled_by="", settled_at=None,
    )  # fmt: skip
    work.add(row)
    return row


def add_promise(
    work: Work, invoice_id: str, *, by_day: date, said_by: str, words: str, by: str
) -> PaymentPromise:
    """A promise; it takes the place of the one before."""
    row = PaymentPromise(
        id=work.new_id(), invoice_id=invoice_id, by_day=by_day, said_by=said_by, words=words, made_by=by,
        made_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def add_billed_interest(
    work: Work, bill_id: str, invoice_id: str, *, first: date, last: date, amount: Decimal
) -> BilledInterest:
    """The days of an invoice whose interest is billed from now on."""
    row = BilledInterest(
        bill_id=bill_id, invoice_id=invoice_id, first_day=first, last_day=last, amount=amount
    )
    work.add(row)
    return row
