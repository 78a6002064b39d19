"""What of the promises to holders waits for the office, as frozen rows: each kind is one query."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, or_, select

from portal.store.tables import Addition, Lot, Quote, Renewal, Transfer, Trouble, TroubleStep, Warranty
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class PromiseRow:
    """One that waits. `on` is its day: that of a first answer, of an open frame, of closing, of a term's end.

    `number` is its own, where it has one, else the warranty's.
    """

    id: str
    lot_id: str
    number: str
    name: str
    house_number: str
    street: str
    state: str
    on: date | None


@dataclass(frozen=True, slots=True)
class Promises:
    """What waits, by kind; each oldest first."""

    trouble: tuple[PromiseRow, ...]
    additions: tuple[PromiseRow, ...]
    transfers: tuple[PromiseRow, ...]
    renewals: tuple[PromiseRow, ...]


def waiting(work: Work, today: date) -> Promises:
    """All of it, as of today."""
    return Promises(_trouble(work, today), _additions(work), _transfers(work), _renewals(work, today))


def _select(row: Any, number: Any, on: Any) -> Select[Any]:
    query: Select[Any] = select(
        row.id, Lot.id, number, Lot.name, Lot.house_number, Lot.street, row.state, on
    ).select_from(row)  # fmt: skip
    return query.join(Warranty, Warranty.id == row.warranty_id).join(Lot, Lot.id == Warranty.lot_id)


def _rows(work: Work, query: Select[Any]) -> tuple[PromiseRow, ...]:
    return tuple(PromiseRow(*row) for row in work.session.execute(query))


def _trouble(work: Work, today: date) -> tuple[PromiseRow, ...]:
    """Open reports, but those whose inspection is still to come, and whose re-treatment is a job by now."""
    visit = (
        select(TroubleStep.day).where(TroubleStep.trouble_id == Trouble.id, TroubleStep.kind == "booked")
        .order_by(TroubleStep.seq.desc()).limit(1).scalar_subquery()
    )  # fmt: skip
    is_job = select(Quote.id).where(Quote.lot_id == Trouble.retreat_lot_id).exists()
    waits: ColumnElement[bool] = or_(
        and_(Trouble.state == "booked", visit > today), and_(Trouble.state == "decided", is_job)
    )
    query = _select(Trouble, Trouble.number, Trouble.due_on)
    return _rows(work, query.where(Trouble.state != "closed", ~waits).order_by(Trouble.made_at, Trouble.id))


def _additions(work: Work) -> tuple[PromiseRow, ...]:
    query = _select(Addition, Addition.number, Addition.framed_on).where(Addition.state == "asked")
    return _rows(work, query.order_by(Addition.made_at, Addition.id))


def _transfers(work: Work) -> tuple[PromiseRow, ...]:
    """Those that wait for the office to see what the terms ask for."""
    query = _select(Transfer, Warranty.number, Transfer.closed_on).where(Transfer.state == "office")
    return _rows(work, query.order_by(Transfer.asked_at, Transfer.id))


def _renewals(work: Work, today: date) -> tuple[PromiseRow, ...]:
    """Those taken up whose house is still to be looked at, and no day for it, or one that has come."""
    query = _select(Renewal, Warranty.number, Renewal.ended_on).where(
        Renewal.state == "accepted", or_(Renewal.looks_on.is_(None), Renewal.looks_on <= today)
    )
    return _rows(work, query.order_by(Renewal.ended_on, Renewal.id))
