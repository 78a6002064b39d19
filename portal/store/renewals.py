"""Finds and adds renewals of warranties."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import func, select

from portal.core.errors import NotFound
from portal.store.tables import Renewal, Warranty
from portal.store.transaction import Work

OPEN = ("offered", "accepted", "looked at")
#: Of those that are over, the newest.
MOST = 100


def ending(work: Work, first: date, last: date) -> list[Warranty]:
    """Warranties whose term ends within these days and was not offered anew."""
    offered = (
        select(Renewal.id).where(Renewal.warranty_id == Warranty.id, Renewal.ended_on == Warranty.ends_on)
        .exists()
    )  # fmt: skip
    query = (
        select(Warranty)
        .where(Warranty.state.in_(("in force", "expired")), Warranty.ends_on.between(first, last), ~offered)
        .order_by(Warranty.ends_on, Warranty.id)
    )  # fmt: skip
    return list(work.session.scalars(query))


def add(work: Work, **values: Any) -> Renewal:
    """A new one, offered."""
    row = Renewal(
        id=work.new_id(), offered_at=work.now, state="offered", answered_by="", looked_by="", found="",
        **values,
    )  # fmt: skip
    work.add(row)
    return row


def renewal(work: Work, renewal_id: str) -> Renewal:
    """One of them, as it stands now. Raises `NotFound`."""
    query = select(Renewal).where(Renewal.id == renewal_id).execution_options(populate_existing=True)
    found = work.session.scalar(query)
    if found is None:
        raise NotFound("renewal", renewal_id)
    return found


def of_invoice(work: Work, invoice_id: str) -> Renewal | None:
    """The renewal that an invoice is for."""
    return work.session.scalar(select(Renewal).where(Renewal.invoice_id == invoice_id))


def times_renewed(work: Work, warranty_id: str) -> int:
    """How many times a warranty was renewed."""
    query = select(func.count()).where(Renewal.warranty_id == warranty_id, Renewal.state == "renewed")
    return int(work.session.scalar(query) or 0)


def open_of(work: Work, warranty_id: str) -> Renewal | None:
    """The renewal of a warranty that is under way."""
    query = select(Renewal).where(Renewal.warranty_id == warranty_id, Renewal.state.in_(OPEN))
    return work.session.scalar(query.order_by(Renewal.ended_on.desc()).limit(1))


def past_their_day(work: Work, today: date) -> list[tuple[str, str]]:
    """Renewals that were offered and not taken up in time, with their lots: by id."""
    query = select(Renewal.id, Renewal.lot_id).where(Renewal.state == "offered", Renewal.last_day < today)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def listed(work: Work, *, over: bool) -> list[tuple[Renewal, Warranty]]:
    """Those under way, by the day the term ends; or those that are over, the newest."""
    query = select(Renewal, Warranty).join(Warranty, Warranty.id == Renewal.warranty_id)
    if over:
        query = query.where(Renewal.state.not_in(OPEN)).order_by(Renewal.offered_at.desc(), Renewal.id)
        return [(row[0], row[1]) for row in work.session.execute(query.limit(MOST))]
    query = query.where(Renewal.state.in_(OPEN)).order_by(Renewal.ended_on, Renewal.id)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def count_open(work: Work) -> int:
    """How many are under way."""
    return int(work.session.scalar(select(func.count()).where(Renewal.state.in_(OPEN))) or 0)
