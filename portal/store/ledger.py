"""Reads the ledger: balances on a day, entries with their postings, and the months that are closed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, case, func, literal, select

from portal.core.documents import fingerprint
from portal.core.money.books import Posted, balances_of, closing
from portal.store.tables import ClosedMonth, Company, Invoice, LedgerEntry, Posting
from portal.store.transaction import Work

ZERO = Decimal("0.00")


def closed_months(work: Work) -> list[ClosedMonth]:
    """The months that are closed, newest first."""
    return list(work.session.scalars(select(ClosedMonth).order_by(ClosedMonth.through.desc())))


def closed_through(work: Work) -> date | None:
    """The last day of the newest month that is closed."""
    through: date | None = work.session.scalar(select(func.max(ClosedMonth.through)))
    return through


def first_day(work: Work) -> date | None:
    """The first day that anything was posted for."""
    first: date | None = work.session.scalar(select(func.min(LedgerEntry.on)))
    return first


def entries_until(work: Work, day: date) -> int:
    """How many entries count for this day or one before it."""
    return work.session.scalar(select(func.count()).where(LedgerEntry.on <= day)) or 0


def moved(work: Work, *which: ColumnElement[bool]) -> dict[str, Decimal]:
    """What entries did to each account that they are posted to."""
    query = select(Posting.account, func.sum(Posting.amount)).group_by(Posting.account)
    query = query.join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq).where(*which)
    return {row[0]: row[1] for row in work.session.execute(query)}


def balances(work: Work, day: date, *, from_scratch: bool = False) -> dict[str, Decimal]:
    """Every account that was posted to up to the end of a day, with what it came to.

    Begins at the newest month that was closed by then, and adds what came since, so that it stays quick
    however old the books are. `from_scratch` adds all of it up, which is how a closed month is checked.
    """
    which, found = [LedgerEntry.on <= day], dict[str, Decimal]()
    closed = None if from_scratch else work.session.scalar(
        select(ClosedMonth).where(ClosedMonth.through <= day).order_by(ClosedMonth.through.desc()).limit(1)
    )  # fmt: skip
    if closed is not None:
        found = balances_of(closed.document)
        which.append(LedgerEntry.on > closed.through)
    for account, amount in moved(work, *which).items():
        found[account] = found.get(account, ZERO) + amount
    return found


def balance_before(work: Work, account: str, day: date) -> Decimal:
    """What an account came to before a day began."""
    query = select(func.sum(Posting.amount)).join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq)
    return work.session.scalar(query.where(Posting.account == account, LedgerEntry.on < day)) or ZERO


def posted(
    work: Work, *, account: str = "", since: date | None = None, until: date | None = None,
    entry: int | None = None, limit: int | None = None, offset: int = 0,
) -> Iterable[Posted]:  # fmt: skip
    """Postings in the order of the days they count for, and on a day in that of entering."""
    entered, invoice = LedgerEntry, Invoice
    query: Any = (
        select(
            Posting.seq, entered.seq, entered.event, entered.subject, Company.name, entered.on,
            entered.happened_on, entered.made_by, entered.made_at, Posting.account, Posting.amount,
            invoice.number, invoice.lot_id,
        )
        .join(entered, entered.seq == Posting.entry_seq).join(Company, Company.id == entered.company_id)
        .outerjoin(invoice, invoice.id == Posting.invoice_id)
        .order_by(entered.on, entered.seq, Posting.seq).limit(limit).offset(offset)
    )  # fmt: skip
    if account:
        query = query.where(Posting.account == account)
    if since:
        query = query.where(entered.on >= since)
    if until:
        query = query.where(entered.on <= until)
    if entry:
        query = query.where(entered.seq == entry)
    for row in work.session.execute(query.execution_options(yield_per=1000)):
        yield Posted(*row)


def first_used(work: Work) -> list[tuple[str, date]]:
    """Every account, in the order of its first posting, with the first day that it is posted for."""
    query = select(Posting.account, func.min(LedgerEntry.on)).group_by(Posting.account)
    query = query.join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq).order_by(func.min(Posting.seq))
    return [(account, day) for account, day in work.session.execute(query)]


def unbalanced(work: Work) -> list[int]:
    """Entries whose postings do not add up to nothing. There are none, or something went round the acts."""
    query = select(Posting.entry_seq).group_by(Posting.entry_seq).having(func.sum(Posting.amount) != ZERO)
    return list(work.session.scalars(query.order_by(Posting.entry_seq)))


def close(work: Work, through: date, document: dict[str, Any], fingerprint: str, by: str) -> ClosedMonth:
    """Close a month."""
    row = ClosedMonth(
        through=through, document=document, fingerprint=fingerprint, closed_by=by, closed_at=work.now
    )
    work.add(row)
    return row


def is_as_closed(work: Work, row: ClosedMonth) -> bool:
    """Whether a closed month still comes to what was kept of it, all of the ledger added up again."""
    now = closing(
        row.through, entries_until(work, row.through), balances(work, row.through, from_scratch=True)
    )
    return fingerprint(now) == row.fingerprint == fingerprint(row.document)


def by_side(work: Work, head: str, since: date, until: date) -> dict[str, tuple[Decimal, Decimal, Decimal]]:
    """Of every account of a kind: its credit before a span of days, then what was credited and debited."""
    amount, inside = Posting.amount, LedgerEntry.on >= since
    nothing = literal(ZERO, Posting.amount.type)

    def part(which: ColumnElement[bool]) -> Any:
        return func.coalesce(func.sum(case((which, amount), else_=nothing)), nothing)

    query: Any = (
        select(Posting.account, part(~inside), part(inside & (amount < ZERO)), part(inside & (amount > ZERO)))
        .join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq)
        .where(Posting.account.startswith(f"{head}: "), LedgerEntry.on <= until)
        .group_by(Posting.account)
    )  # fmt: skip
    return {
        account: (-before, -credit, debit) for account, before, credit, debit in work.session.execute(query)
    }
