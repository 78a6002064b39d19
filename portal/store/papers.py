"""Which papers there are of many lots at once: a query a kind of paper, whatever the number of lots."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, bindparam, select

from portal.store.tables import (
    ForgottenRecord,
    Invoice,
    InvoiceLot,
    Lot,
    Quote,
    Revision,
    TreatmentRecord,
    Warranty,
)
from portal.store.transaction import Work

#: Papers made from a treatment record.
OF_RECORD = ("treatment-record", "posted-notice", "building-statement", "service-figures")


@dataclass(frozen=True, slots=True)
class PaperOfLot:
    """A paper in a list. `number` is the document's own, `revision` that of a quote, `at` when it came."""

    lot_id: str
    kind: str
    revision: int | None
    number: str
    at: date | datetime | None


def papers(work: Work, company_id: str, lot_ids: tuple[str, ...]) -> list[PaperOfLot]:
    """The papers of these lots of a company, a query a kind, in the order of the sheets."""
    columns = _columns(
        Quote.lot_id, Revision.number, Quote.number, Revision.state, Revision.sent_at, Revision.decided_at
    )
    quoted = columns.join(Revision, Revision.quote_id == Quote.id).where(Revision.sent_at.is_not(None))
    found = []
    for lot_id, revision, number, state, sent_at, decided_at in work.session.execute(
        _of_lots(quoted, Quote.lot_id, company_id, lot_ids).order_by(Revision.number)
    ):
        found.append(PaperOfLot(lot_id, "quote", revision, number, sent_at))
        if state == "accepted":
            found.append(PaperOfLot(lot_id, "acceptance", revision, number, decided_at))
    gone = ForgottenRecord.record_id
    forgotten = select(gone).where(gone == TreatmentRecord.id).exists()
    certified = Warranty.begins_on.is_not(None) & (Warranty.state != "void")
    kinds: tuple[tuple[str, Any, Any], ...] = (
        *((kind, TreatmentRecord, TreatmentRecord.marked_at) for kind in OF_RECORD),
        ("invoice", Invoice, Invoice.issued_on), ("certificate", Warranty, Warranty.begins_on),
    )  # fmt: skip
    for kind, table, at in kinds:
        of = InvoiceLot if table is Invoice else table
        query = _of_lots(_columns(of.lot_id, table.number, at), of.lot_id, company_id, lot_ids)
        if table is Invoice:
            query = query.join(Invoice, Invoice.id == InvoiceLot.invoice_id).where(InvoiceLot.speaks)
        query = query.where(certified) if kind == "certificate" else query
        query = query.where(~forgotten) if table is TreatmentRecord else query
        found += [PaperOfLot(row[0], kind, None, row[1], row[2]) for row in work.session.execute(query)]
    return found


@dataclass(frozen=True, slots=True)
class Marked:
    """Whose lot a paper is of, its number, and the fingerprint of what it is made from."""

    id: str
    company_id: str
    number: str
    fingerprint: str


def _marked(table: Any) -> Any:
    columns: Any = (Lot.id, Lot.company_id, table.number, table.fingerprint)
    query = select(*columns).where(Lot.id == bindparam("lot_id"))
    if table is not Invoice:
        return query.join(table, table.lot_id == Lot.id)
    query = query.join(InvoiceLot, (InvoiceLot.lot_id == Lot.id) & InvoiceLot.speaks)
    return query.join(Invoice, Invoice.id == InvoiceLot.invoice_id)


_MARKED = {"invoice": _marked(Invoice)} | dict.fromkeys(OF_RECORD, _marked(TreatmentRecord))


def marked(work: Work, kind: str, lot_id: str) -> Marked | None:
    """What a paper is known by, without its document, where its kind keeps a fingerprint beside it."""
    if kind not in _MARKED:
        return None
    row = work.session.connection().execute(_MARKED[kind], {"lot_id": lot_id}).one_or_none()
    return Marked(*row) if row else None


def _columns(*columns: Any) -> Select[Any]:
    return select(*columns)


def _of_lots(query: Select[Any], lot_id: Any, company_id: str, lot_ids: tuple[str, ...]) -> Select[Any]:
    return query.join(Lot, Lot.id == lot_id).where(Lot.company_id == company_id, Lot.id.in_(lot_ids))
