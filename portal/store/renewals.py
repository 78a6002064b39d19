"""Finds and adds renewals of warranties."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import func, select

from portal.core.documents import from_stored
from portal.core.documents.parties import Renewal as Terms
from portal.core.errors import NotFound
from portal.store.tables import Renewal, Warranty
from portal.store.transaction import Work

OPEN = ("offered", "accepted", "looked at")
#: Of those, the ones that its holder took up.
TAKEN_UP = ("accepted", "looked at")
#: Those whose state follows their invoice.
BILLED = ("looked at", "renewed", "not paid")
#: Of those that are over, the newest.
MOST = 100


def ending(work: Work, first: date, last: date) -> list[tuple[str, str, date, Terms | None, int]]:
    """Warranties whose term ends within these days and was not offered anew: their id, their lot's, the day,
    what their terms say of renewing, and how many times they were renewed.

    Of the documents only that part is read: there may be very many.
    """
    offered = (
        select(Renewal.id).where(Renewal.warranty_id == Warranty.id, Renewal.ended_on == Warranty.ends_on)
        .exists()
    )  # fmt: skip
    made = (
        select(func.count()).where(Renewal.warranty_id == Warranty.id, Renewal.state == "renewed")
        .scalar_subquery()
    )  # fmt: skip
    says = Warranty.document["terms"]["renewal"]
    query = (
        select(Warranty.id, Warranty.lot_id, Warranty.ends_on, says, made)
        .where(Warranty.state.in_(("in force", "expired")), Warranty.ends_on.between(first, last), ~offered)
        .order_by(Warranty.ends_on, Warranty.id)
    )  # fmt: skip
    return [
        (row[0], row[1], row[2], from_stored(Terms, row[3]) if row[3] else None, row[4])
        for row in work.session.execute(query)
    ]


def was_offered(work: Work, warranty_id: str, ended_on: date) -> bool:
    """Whether the term after one that ends on a day was offered."""
    query = select(Renewal.id).where(Renewal.warranty_id == warranty_id, Renewal.ended_on == ended_on)
    return work.session.scalar(query) is not None


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
    """The renewal of a warranty that is under way; the latest, where an earlier term is owed again."""
    return next(reversed(all_open(work, warranty_id)), None)


def all_open(work: Work, warranty_id: str) -> list[Renewal]:
    """Every renewal of a warranty that is under way, by the term."""
    query = select(Renewal).where(Renewal.warranty_id == warranty_id, Renewal.state.in_(OPEN))
    return list(work.session.scalars(query.order_by(Renewal.ended_on)))


def terms_of(work: Work, warranty_id: str) -> list[Renewal]:
    """Every renewal of a warranty, by the term."""
    query = select(Renewal).where(Renewal.warranty_id == warranty_id)
    return list(work.session.scalars(query.order_by(Renewal.ended_on)))


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
