"""Everything there is on one lot, with one question to the database instead of one a record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, bindparam, func, select
from sqlalchemy.orm import defer, joinedload, lazyload

from portal.core.errors import NotFound
from portal.store.tables import (
    Invoice,
    InvoiceLot,
    Job,
    Lot,
    Quote,
    RecordPage,
    Revision,
    TreatmentRecord,
    Warranty,
)
from portal.store.transaction import Work


def _columns(*columns: Any) -> Select[Any]:
    return select(*columns)


def _of_lot(query: Any) -> Any:
    for table in (Quote, Job, TreatmentRecord, Warranty):
        query = query.outerjoin(table, table.lot_id == Lot.id)
    # Of a lot's invoices the one that speaks for it.
    query = query.outerjoin(InvoiceLot, (InvoiceLot.lot_id == Lot.id) & InvoiceLot.speaks)
    query = query.outerjoin(Invoice, Invoice.id == InvoiceLot.invoice_id)
    return query.where(Lot.id == bindparam("lot_id"))


@dataclass(frozen=True, slots=True)
class LotFile:
    """A lot and the records that it has at most one of each."""

    lot: Lot
    quote: Quote | None
    job: Job | None
    record: TreatmentRecord | None
    invoice: Invoice | None
    warranty: Warranty | None
    #: How many further pages the record has; most have none, and then nobody asks for them.
    pages: int


# Built once: a statement that is made anew for each call costs more to make than to run.
_PAGES: Any = (
    select(func.count(RecordPage.id)).where(RecordPage.record_id == TreatmentRecord.id).scalar_subquery()
)
_LOT_FILE = _of_lot(_columns(Lot, Quote, Job, TreatmentRecord, Invoice, Warranty, _PAGES)).options(
    joinedload(Lot.company),
    joinedload(Lot.subdivision),
    lazyload(Job.lot),
    joinedload(Job.technician),
    # The field sheet and what was typed belong to the stop's own pages.
    defer(Job.sheet),
    defer(Job.entry),
)


def lot_file(work: Work, lot_id: str) -> LotFile:
    """The file of a lot. Raises `NotFound`."""
    row = work.session.execute(_LOT_FILE, {"lot_id": lot_id}).one_or_none()
    if row is None:
        raise NotFound("lot", lot_id)
    return LotFile(*row)


@dataclass(frozen=True, slots=True)
class Standing:
    """How far each record of a lot has come. None where there is none yet."""

    quote: str | None
    offered: Decimal | None
    expires_on: date | None
    job: str | None
    invoice: str | None
    billed: Decimal | None
    warranty: str | None
    ends_on: date | None


_SPEAKING = (
    select(Revision.state, Revision.total, Revision.expires_on)
    .join(Quote, Quote.id == Revision.quote_id)
    .where(Quote.lot_id == bindparam("lot_id"))
    .order_by((Revision.state == "accepted").desc(), Revision.number.desc())
    .limit(1)
)
_STATES = _of_lot(
    _columns(Job.state, Invoice.state, Invoice.total, Warranty.state, Warranty.ends_on).select_from(Lot)
)


def standing(work: Work, lot_id: str) -> Standing:
    """The states alone, without the documents: of the quote the accepted revision's, else the newest's."""
    offered = work.session.execute(_SPEAKING, {"lot_id": lot_id}).one_or_none() or (None, None, None)
    return Standing(*offered, *work.session.execute(_STATES, {"lot_id": lot_id}).one())
