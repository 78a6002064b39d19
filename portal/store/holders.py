"""Finds and adds the holders of warranties."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from sqlalchemy import select

from portal.store.tables import Holder
from portal.store.transaction import Work


def holder_now(work: Work, warranty_id: str) -> Holder | None:
    """Who holds the warranty now, if anybody was named."""
    query = select(Holder).where(Holder.warranty_id == warranty_id, Holder.until.is_(None))
    return work.session.scalar(query)


def holders_now(work: Work, warranty_ids: Iterable[str]) -> dict[str, Holder]:
    """Who holds each of these warranties now, by the warranty."""
    query = select(Holder).where(Holder.warranty_id.in_(list(warranty_ids)), Holder.until.is_(None))
    return {row.warranty_id: row for row in work.session.scalars(query)}


def holders(work: Work, warranty_id: str) -> list[Holder]:
    """Every holder of a warranty, in order."""
    query = select(Holder).where(Holder.warranty_id == warranty_id)
    return list(work.session.scalars(query.order_by(Holder.since, Holder.made_at, Holder.id)))


def add_holder(
    work: Work, warranty_id: str, *, name: str, email: str, phone: str, since: date, how: str, made_by: str
) -> Holder:
    """A new holder. Whoever held it before has ended; the store refuses a second at a time."""
    row = Holder(
        id=work.new_id(), warranty_id=warranty_id, name=name, email=email, phone=phone, since=since, how=how,
        made_by=made_by, made_at=work.now, ended_reason="",
    )  # fmt: skip
    work.add(row)
    return row
