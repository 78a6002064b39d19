"""Finds and adds warranties."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import select

from portal.core.errors import NotFound
from portal.store.tables import Lot, Warranty
from portal.store.transaction import Work


def warranty(work: Work, warranty_id: str) -> Warranty:
    """The warranty. Raises `NotFound`."""
    found = work.session.get(Warranty, warranty_id)
    if found is None:
        raise NotFound("warranty", warranty_id)
    return found


def warranty_of(work: Work, lot_id: str) -> Warranty | None:
    """A lot's warranty."""
    return work.session.scalar(select(Warranty).where(Warranty.lot_id == lot_id))


def of_additions(work: Work, lot_id: str) -> list[Warranty]:
    """The warranties of what was added to a lot's house, the oldest first."""
    query = select(Warranty).join(Lot, Lot.id == Warranty.lot_id)
    query = query.where(Lot.of_lot_id == lot_id, Lot.kind == "addition")
    return list(work.session.scalars(query.order_by(Warranty.made_at, Warranty.id)))


def by_number(work: Work, number: str) -> Warranty | None:
    """The warranty of this number."""
    return work.session.scalar(select(Warranty).where(Warranty.number == number))


def by_link(work: Work, token: str) -> Warranty | None:
    """The warranty whose QR carries this token."""
    return work.session.scalar(select(Warranty).where(Warranty.link_token == token))


def add_warranty(
    work: Work, *, number: str, link_token: str, house_key: str, lot_id: str, company_id: str, record_id: str,
    document: dict[str, Any],
) -> Warranty:  # fmt: skip
    """A new warranty, held."""
    row = Warranty(
        id=work.new_id(), number=number, link_token=link_token, house_key=house_key, lot_id=lot_id,
        company_id=company_id, record_id=record_id, document=document, state="held", reason="",
        made_at=work.now,
    )  # fmt: skip
    work.put(row)
    return row


def expiring(work: Work, today: date) -> list[Warranty]:
    """Warranties in force whose last day is over."""
    query = select(Warranty).where(Warranty.state == "in force", Warranty.ends_on < today)
    return list(work.session.scalars(query))


def treated_on(row: Warranty) -> date:
    """The day of treatment, out of the frozen document."""
    return date.fromisoformat(row.document["treated_on"])
