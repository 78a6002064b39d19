"""Finds what deserves a look before a month is closed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import islice

from sqlalchemy import func, select

from portal.core.money.dues import due_by, dues
from portal.core.money.ledger import CREDITS
from portal.store.books import open_by_invoice
from portal.store.dues import releases
from portal.store.tables import (
    Company,
    CreditNote,
    Dispute,
    Invoice,
    InvoiceLot,
    LedgerEntry,
    Lot,
    NumberSeries,
    Posting,
    TreatmentRecord,
)
from portal.store.transaction import Work

ZERO = Decimal("0.00")
#: How many lines of a kind are named; the rest are counted.
NAMED = 20


@dataclass(frozen=True, slots=True)
class Odd:
    """One thing to look at: what it is called, the lot it leads to where there is one, and an amount."""

    name: str
    lot_id: str | None = None
    amount: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Unusual:
    """Credits that pay nothing yet, lots treated and not billed, invoices in dispute, those late by then,
    entries that belong to an earlier month, series of numbers that are not whole."""

    credits: tuple[Odd, ...]
    unbilled: tuple[Odd, ...]
    disputed: tuple[Odd, ...]
    late: tuple[Odd, ...]
    from_before: tuple[Odd, ...]
    gaps: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether there is anything to look at."""
        return any((self.credits, self.unbilled, self.disputed, self.late, self.from_before, self.gaps))


def unusual(work: Work, through: date) -> Unusual:
    """What deserves a look in a month, by its last day."""
    return Unusual(
        _credits(work, through),
        _unbilled(work),
        _disputed(work),
        _late(work, through),
        _from_before(work, through),
        gaps(work),
    )


def _credits(work: Work, through: date) -> tuple[Odd, ...]:
    total = func.sum(Posting.amount)
    query = (
        select(Company.name, total)
        .join(Posting, Posting.company_id == Company.id)
        .join(LedgerEntry, LedgerEntry.seq == Posting.entry_seq)
        .where(Posting.account == CREDITS, LedgerEntry.on <= through)
        .group_by(Company.id, Company.name).having(total != ZERO).order_by(Company.name)
    )  # fmt: skip
    return tuple(Odd(name, None, -amount) for name, amount in work.session.execute(query))


def _unbilled(work: Work) -> tuple[Odd, ...]:
    billed = select(InvoiceLot.lot_id).where(InvoiceLot.speaks)
    query = (
        select(Lot.name, Lot.id).join(TreatmentRecord, TreatmentRecord.lot_id == Lot.id)
        .where(Lot.id.not_in(billed)).order_by(TreatmentRecord.marked_at).limit(NAMED)
    )  # fmt: skip
    return tuple(Odd(name, lot_id) for name, lot_id in work.session.execute(query))


def _disputed(work: Work) -> tuple[Odd, ...]:
    query = (
        select(Invoice.number, Invoice.lot_id).join(Dispute, Dispute.invoice_id == Invoice.id)
        .where(Dispute.settled_at.is_(None)).order_by(Invoice.number).limit(NAMED)
    )  # fmt: skip
    return tuple(Odd(number, lot_id) for number, lot_id in work.session.execute(query))


def _late(work: Work, through: date) -> tuple[Odd, ...]:
    still = open_by_invoice()
    query = (
        select(Invoice.id, Invoice.number, Invoice.lot_id, Invoice.due_on, still.c.open, still.c.held)
        .join(still, still.c.invoice_id == Invoice.id)
        .where(Invoice.due_on < through, still.c.open > still.c.held).order_by(Invoice.due_on, Invoice.number)
    )  # fmt: skip
    found = list(work.session.execute(query))
    released = releases(work, [row[0] for row in found])
    late = (
        Odd(
            number,
            lot_id,
            due_by(dues(due_on, open_ - held, released.get(id_, ())), through - timedelta(days=1)),
        )
        for id_, number, lot_id, due_on, open_, held in found
    )
    return tuple(islice((one for one in late if one.amount), NAMED))


def _from_before(work: Work, through: date) -> tuple[Odd, ...]:
    first = through.replace(day=1)
    query = select(LedgerEntry.subject, LedgerEntry.happened_on).where(
        LedgerEntry.on >= first, LedgerEntry.on <= through, LedgerEntry.happened_on < first
    )
    found = work.session.execute(query.order_by(LedgerEntry.seq).limit(NAMED))
    return tuple(Odd(f"{subject}, {day}") for subject, day in found)


def gaps(work: Work) -> tuple[str, ...]:
    """Series of paper numbers of which there are fewer or more papers than numbers were given."""
    found = []
    for series in work.session.scalars(select(NumberSeries).order_by(NumberSeries.name)):
        count = 0
        for table in (Invoice, CreditNote):
            mine = table.number.startswith(f"{series.name}-", autoescape=True)
            count += work.session.scalar(select(func.count()).where(mine)) or 0
        if count not in (0, series.last):  # of none, the series is that of other papers
            found.append(series.name)
    return tuple(found)
