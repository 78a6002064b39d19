"""Everything there is on one lot, with one question to the database instead of one a record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import defer, joinedload, lazyload

from portal.core.errors import NotFound
from portal.store.tables import Invoice, Job, Lot, Quote, Revision, TreatmentRecord, Warranty
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class LotFile:
    """A lot and the records that it has at most one of each."""

    lot: Lot
    quote: Quote | None
    job: Job | None
    record: TreatmentRecord | None
    invoice: Invoice | None
    warranty: Warranty | None


def lot_file(work: Work, lot_id: str) -> LotFile:
    """The file of a lot. Raises `NotFound`."""
    query = _of_lot(select(Lot, Quote, Job, TreatmentRecord, Invoice, Warranty), lot_id).options(
        joinedload(Lot.company),
        joinedload(Lot.subdivision),
        lazyload(Job.lot),
        joinedload(Job.technician),
        # The field sheet and what was typed belong to the stop's own pages.
        defer(Job.sheet),
        defer(Job.entry),
    )
    row = work.session.execute(query).one_or_none()
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


def standing(work: Work, lot_id: str) -> Standing:
    """The states alone, without the documents: of the quote the accepted revision's, else the newest's."""
    speaking = (
        select(Revision.state, Revision.total, Revision.expires_on)
        .join(Quote, Quote.id == Revision.quote_id)
        .where(Quote.lot_id == lot_id)
        .order_by((Revision.state == "accepted").desc(), Revision.number.desc())
        .limit(1)
    )
    offered = work.session.execute(speaking).one_or_none() or (None, None, None)
    states = _columns(Job.state, Invoice.state, Invoice.total, Warranty.state, Warranty.ends_on)
    return Standing(*offered, *work.session.execute(_of_lot(states.select_from(Lot), lot_id)).one())


def _columns(*columns: Any) -> Select[Any]:
    return select(*columns)


def _of_lot(query: Any, lot_id: str) -> Any:
    for table in (Quote, Job, TreatmentRecord, Invoice, Warranty):
        query = query.outerjoin(table, table.lot_id == Lot.id)
    return query.where(Lot.id == lot_id)
