"""Finds and adds additions that were asked for."""

from __future__ import annotations

from typing import Any

from sqlalchemy import func, select

from portal.core.errors import NotFound
from portal.store.tables import Addition, Warranty
from portal.store.transaction import Work

#: Of those decided, the newest: older ones are found on their lots.
MOST = 100


def add(work: Work, **values: Any) -> Addition:
    """A new one, asked for."""
    row = Addition(id=work.new_id(), made_at=work.now, state="asked", reason="", decided_by="", **values)
    work.add(row)
    return row


def addition(work: Work, addition_id: str, *, held: bool = False) -> Addition:
    """One of them; `held` against other writers. Raises `NotFound`."""
    query = select(Addition).where(Addition.id == addition_id)
    if held:
        query = query.with_for_update().execution_options(populate_existing=True)
    found = work.session.scalar(query)
    if found is None:
        raise NotFound("addition", addition_id)
    return found


def listed(work: Work, *, decided: bool) -> list[tuple[Addition, Warranty]]:
    """Those asked for, oldest first, or those decided last; each with its warranty."""
    query = select(Addition, Warranty).join(Warranty, Warranty.id == Addition.warranty_id)
    if decided:
        query = query.where(Addition.state != "asked").order_by(Addition.decided_at.desc(), Addition.id)
        return [(row[0], row[1]) for row in work.session.execute(query.limit(MOST))]
    query = query.where(Addition.state == "asked").order_by(Addition.made_at, Addition.id)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def count_asked(work: Work) -> int:
    """How many wait for the office."""
    query = select(func.count()).select_from(Addition).where(Addition.state == "asked")
    return int(work.session.scalar(query) or 0)
