"""Finds and keeps what quotes cost and leave, for the office alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, select

from portal.store.tables import (
    Company,
    CreditNote,
    Invoice,
    InvoiceLot,
    Job,
    Lot,
    Margin,
    Quote,
    Revision,
    Subdivision,
    TreatmentRecord,
)
from portal.store.transaction import Work


def margin(work: Work, revision_id: str) -> Margin | None:
    """What was kept of a revision when it was approved."""
    return work.session.get(Margin, revision_id)


def keep(
    work: Work, revision_id: str, document: dict[str, Any], revenue: Decimal, cost: Decimal | None,
    reason: str, by: str,
) -> None:  # fmt: skip
    """Keep it, in place of what was kept when the same revision was approved before."""
    values = {
        "document": document, "revenue": revenue, "cost": cost, "reason": reason,
        "reason_by": by if reason else "", "made_at": work.now,
    }  # fmt: skip
    row = margin(work, revision_id)
    if row is None:
        work.add(Margin(revision_id=revision_id, **values))
        return
    for name, value in values.items():
        setattr(row, name, value)


@dataclass(frozen=True, slots=True)
class QuotedRow:
    """A quote in a sum. `revenue` is None where it was approved before margins were kept."""

    company: str
    subdivision: str
    revenue: Decimal | None
    cost: Decimal | None


def _columns(*columns: Any) -> Select[Any]:
    # More columns than the type of a select can name.
    return select(*columns)


def _span(column: ColumnElement[Any], since: datetime, until: datetime) -> ColumnElement[bool]:
    return and_(column >= since, column < until)


def quoted(work: Work, since: datetime, until: datetime, *, accepted: bool) -> list[QuotedRow]:
    """Quotes sent in a span of time, each by its newest revision that was; or those accepted in it."""
    query = (
        _columns(Company.name, Subdivision.name, Margin.revenue, Margin.cost)
        .select_from(Revision)
        .join(Quote, Quote.id == Revision.quote_id).join(Lot, Lot.id == Quote.lot_id)
        .join(Company, Company.id == Lot.company_id)
        .outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .outerjoin(Margin, Margin.revision_id == Revision.id)
    )  # fmt: skip
    if accepted:
        query = query.where(Revision.state == "accepted", _span(Revision.decided_at.expression, since, until))
    else:
        query = query.where(Revision.state != "superseded", _span(Revision.sent_at.expression, since, until))
    return [QuotedRow(company, name or "", *sums) for company, name, *sums in work.session.execute(query)]


@dataclass(frozen=True, slots=True)
class TreatedRow:
    """A treated job: what was planned (None where it was not kept), its record, and its invoice."""

    lot_id: str
    lot: str
    company: str
    subdivision: str
    record: dict[str, Any]
    planned: dict[str, Any] | None
    invoice_id: str | None
    invoice: dict[str, Any] | None


def treated(
    work: Work, since: date | None = None, until: date | None = None, lot_id: str = ""
) -> list[TreatedRow]:
    """Jobs by the day of their stop, newest first; records that were let go are left out."""
    query = (
        _columns(
            Lot.id, Lot.name, Company.name, Subdivision.name, TreatmentRecord.document, Margin.document,
            Invoice.id, Invoice.document,
        )
        .select_from(TreatmentRecord)
        .join(Job, Job.id == TreatmentRecord.job_id).join(Lot, Lot.id == TreatmentRecord.lot_id)
        .join(Company, Company.id == Lot.company_id)
        .outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .outerjoin(Margin, Margin.revision_id == Job.revision_id)
        .outerjoin(InvoiceLot, (InvoiceLot.lot_id == Lot.id) & InvoiceLot.speaks)
        .outerjoin(Invoice, Invoice.id == InvoiceLot.invoice_id)
        .order_by(Job.day.desc(), Lot.name)
    )  # fmt: skip
    if lot_id:
        query = query.where(Lot.id == lot_id)
    else:
        query = query.where(Job.day.between(since, until))
    rows = work.session.execute(query)
    return [
        TreatedRow(lot_id, lot, company, name or "", record, planned, invoice_id, invoice)
        for lot_id, lot, company, name, record, planned, invoice_id, invoice in rows if record
    ]  # fmt: skip


def credited_on(work: Work, invoice_ids: list[str]) -> dict[str, list[dict[str, Any]]]:
    """The credit notes of these invoices, by invoice."""
    found: dict[str, list[dict[str, Any]]] = {}
    query = select(CreditNote.invoice_id, CreditNote.document).where(CreditNote.invoice_id.in_(invoice_ids))
    for invoice_id, document in work.session.execute(query):
        found.setdefault(invoice_id, []).append(document)
    return found
