"""The ledger: adds entries, and asks for balances. Whatever is owed is asked for here."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import case, func, insert, select

from portal.core.money.ledger import ASKED, CREDITS, RECEIVABLE, RETAINAGE, Post
from portal.store.tables import LedgerEntry, Posting
from portal.store.transaction import Work

ZERO = Decimal("0.00")


def add_entry(
    work: Work, *, event: str, subject: str, source_id: str, company_id: str, on: date, happened_on: date,
    by: str, posts: Iterable[Post],
) -> LedgerEntry:  # fmt: skip
    """An entry with its postings, which the caller has seen to be balanced."""
    entry = LedgerEntry(
        event=event, subject=subject, source_id=source_id, company_id=company_id, on=on,
        happened_on=happened_on, made_by=by, made_at=work.now,
    )  # fmt: skip
    work.add(entry)
    rows = [
        {"entry_seq": entry.seq, "account": post.account, "company_id": company_id,
         "invoice_id": post.invoice, "amount": post.amount}
        for post in posts
    ]  # fmt: skip
    work.session.execute(insert(Posting), rows)
    return entry


def open_of(work: Work, invoice_id: str) -> Decimal:
    """What an invoice still asks for, what is held back included."""
    return _balance(work, Posting.invoice_id == invoice_id, Posting.account.in_(ASKED))


def receivable_of(work: Work, invoice_id: str) -> Decimal:
    """What an invoice still asks for without what is held back."""
    return _balance(work, Posting.invoice_id == invoice_id, Posting.account == RECEIVABLE)


def credit_of(work: Work, company_id: str) -> Decimal:
    """What a builder has to its credit."""
    return -_balance(work, Posting.company_id == company_id, Posting.account == CREDITS)


def open_by_invoice() -> Any:
    """A subquery: `invoice_id`, `open` and `held` (what of that is held back), of every invoice posted."""
    held = func.sum(case((Posting.account == RETAINAGE, Posting.amount), else_=ZERO))
    return (
        select(Posting.invoice_id, func.sum(Posting.amount).label("open"), held.label("held"))
        .where(Posting.account.in_(ASKED))
        .group_by(Posting.invoice_id)
        .subquery()
    )


def _balance(work: Work, *which: Any) -> Decimal:
    total = work.session.scalar(select(func.sum(Posting.amount)).where(*which))
    return total if total is not None else ZERO
