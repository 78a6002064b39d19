"""What came by day, and what is about to be billed: booked lots, and treated ones that wait for a package."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import func, select

from portal.core.money.ledger import CREDITS, RECEIVABLE, RETAINAGE
from portal.store.tables import Company, InvoiceLot, Job, LedgerEntry, Lot, Posting, Revision, TreatmentRecord
from portal.store.transaction import Work

ZERO = Decimal("0.00")


def came_by_day(work: Work, since: date, company_id: str | None = None) -> list[tuple[date, Decimal]]:
    """What the cash accounts took in on each day the books count it for, less what went back."""
    query = (
        select(LedgerEntry.on, func.sum(Posting.amount))
        .join(Posting, Posting.entry_seq == LedgerEntry.seq)
        .where(Posting.account.startswith("cash: "), LedgerEntry.on >= since)
        .group_by(LedgerEntry.on).order_by(LedgerEntry.on)
    )  # fmt: skip
    if company_id is not None:
        query = query.where(LedgerEntry.company_id == company_id)
    return [(day, amount) for day, amount in work.session.execute(query)]


@dataclass(frozen=True, slots=True)
class ToBillRow:
    """A lot that will be billed, as quoted. `day` is that of its stop; None once it is treated."""

    lot_id: str
    company_id: str
    day: date | None
    quoted: Decimal


def to_bill(work: Work, company_id: str | None = None) -> list[ToBillRow]:
    """Lots that are booked, and those treated for which no invoice speaks yet."""
    billed = select(InvoiceLot.lot_id).where(InvoiceLot.lot_id == Lot.id, InvoiceLot.speaks).exists()
    treated = select(TreatmentRecord.id).where(TreatmentRecord.job_id == Job.id).exists()
    booked = Job.state.in_(("booked", "on site"))
    query = (
        select(Lot.id, Lot.company_id, Job.day, Revision.total, treated.label("treated"))
        .join(Job, Job.lot_id == Lot.id).join(Revision, Revision.id == Job.revision_id)
        .where(booked | treated, ~billed).order_by(Job.day, Lot.id)
    )  # fmt: skip
    if company_id is not None:
        query = query.where(Lot.company_id == company_id)
    return [
        ToBillRow(lot_id, company, None if done else day, total if total is not None else ZERO)
        for lot_id, company, day, total, done in work.session.execute(query)
    ]


@dataclass(frozen=True, slots=True)
class BuilderRow:
    """A builder's balances in the books: asked for now, held back, to its credit."""

    id: str
    name: str
    open: Decimal
    held_back: Decimal
    credit: Decimal


def builders(work: Work) -> list[BuilderRow]:
    """Builders by name with what the books say of each."""
    sums = (
        select(Posting.company_id, Posting.account, func.sum(Posting.amount))
        .where(Posting.account.in_((RECEIVABLE, RETAINAGE, CREDITS)))
        .group_by(Posting.company_id, Posting.account)
    )  # fmt: skip
    found: dict[str, dict[str, Decimal]] = {}
    for company_id, account, amount in work.session.execute(sums):
        found.setdefault(company_id, {})[account] = amount
    columns: Any = (Company.id, Company.name)
    return [
        BuilderRow(id_, name, found.get(id_, {}).get(RECEIVABLE, ZERO),
                   found.get(id_, {}).get(RETAINAGE, ZERO), -found.get(id_, {}).get(CREDITS, ZERO))
        for id_, name in work.session.execute(select(*columns).order_by(Company.name, Company.id))
    ]  # fmt: skip
