"""Finds and adds editions, quotes and revisions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, bindparam, func, select

from portal.core.documents import QuoteDocument, from_stored
from portal.core.errors import NotFound
from portal.store.tables import Edition, Lot, Quote, Revision
from portal.store.transaction import Work

EDITION_KINDS = ("rates", "product", "crew", "terms", "firm")


_EDITION_ON = (
    select(Edition)
    .where(Edition.kind == bindparam("kind"), Edition.first_day <= bindparam("day"))
    .order_by(Edition.first_day.desc(), Edition.number.desc())
    .limit(1)
)


def edition_on(work: Work, kind: str, day: date) -> Edition:
    """The edition in force on a day: the newest whose first day has come. Raises `NotFound`."""
    found = work.session.scalar(_EDITION_ON, {"kind": kind, "day": day})
    if found is None:
        raise NotFound(f"edition of {kind}", day)
    return found


def editions_on(work: Work, day: date) -> dict[str, Edition]:
    """The edition of each kind that is in force on a day. Raises `NotFound` where one is missing."""
    newest = select(
        Edition.id,
        func.row_number()
        .over(partition_by=Edition.kind, order_by=(Edition.first_day.desc(), Edition.number.desc()))
        .label("place"),
    ).where(Edition.first_day <= day)
    ranked = newest.subquery()
    query = select(Edition).join(ranked, ranked.c.id == Edition.id).where(ranked.c.place == 1)
    found = {edition.kind: edition for edition in work.session.scalars(query)}
    for kind in EDITION_KINDS:
        if kind not in found:
            raise NotFound(f"edition of {kind}", day)
    return {kind: found[kind] for kind in EDITION_KINDS}


def edition_numbered(work: Work, kind: str, number: int) -> Edition:
    """An edition by its number. Editions never change: it is what was reckoned by. Raises `NotFound`."""
    found = work.session.scalar(select(Edition).where(Edition.kind == kind, Edition.number == number))
    if found is None:
        raise NotFound(f"edition of {kind}", number)
    return found


def editions(work: Work, kind: str) -> list[Edition]:
    """All editions of a kind, newest first."""
    return list(
        work.session.scalars(select(Edition).where(Edition.kind == kind).order_by(Edition.number.desc()))
    )


def add_edition(work: Work, kind: str, first_day: date, document: dict[str, Any], by: str) -> Edition:
    """The next edition of a kind."""
    last = work.session.scalar(select(func.max(Edition.number)).where(Edition.kind == kind)) or 0
    row = Edition(
        id=work.new_id(), kind=kind, number=last + 1, first_day=first_day, document=document, made_by=by,
        made_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def quote_of(work: Work, lot_id: str) -> Quote | None:
    """A lot's quote, if one was started."""
    return work.session.scalar(select(Quote).where(Quote.lot_id == lot_id))


def add_quote(work: Work, lot_id: str, number: str) -> Quote:
    """A new quote, without a revision yet."""
    row = Quote(id=work.new_id(), lot_id=lot_id, number=number, current=0, created_at=work.now)
    work.add(row)
    return row


_REVISIONS = (
    select(Revision).where(Revision.quote_id == bindparam("quote_id")).order_by(Revision.number.desc())
)


def revisions(work: Work, quote_id: str) -> list[Revision]:
    """All revisions, newest first."""
    return list(work.session.scalars(_REVISIONS, {"quote_id": quote_id}))


def revision(work: Work, revision_id: str) -> Revision:
    """One revision. Raises `NotFound`."""
    found = work.session.get(Revision, revision_id)
    if found is None:
        raise NotFound("quote", revision_id)
    return found


def add_revision(work: Work, quote: Quote, takeoff_id: str) -> Revision:
    """The next revision of a quote, to be checked."""
    quote.current += 1
    row = Revision(
        id=work.new_id(), quote_id=quote.id, number=quote.current, state="to check", takeoff_id=takeoff_id,
        remarks="",
        approved_by="", decided_by="", purchase_order="", decline_reason="", version=1,
    )  # fmt: skip
    work.add(row)
    work.session.refresh(row)
    return row


@dataclass(frozen=True, slots=True)
class Ending:
    """A sent revision that comes to its end, and the package its lot is in, without what it says."""

    revision_id: str
    lot_id: str
    package_id: str | None
    sent_at: datetime
    expires_on: date


def lapsing(work: Work, today: date) -> list[Ending]:
    """Sent revisions whose last day is over."""
    return _ending(work, Revision.expires_on < today)


def ending(work: Work, today: date, last: date) -> list[Ending]:
    """Sent revisions that hold today and end on `last` or before, of which nobody was reminded yet."""
    return _ending(work, Revision.reminded_at.is_(None), Revision.expires_on.between(today, last))


def _ending(work: Work, *which: ColumnElement[bool]) -> list[Ending]:
    columns: tuple[Any, ...] = (
        Revision.id, Quote.lot_id, Lot.package_id, Revision.sent_at, Revision.expires_on
    )  # fmt: skip
    query = (
        select(*columns).join(Quote, Quote.id == Revision.quote_id).join(Lot, Lot.id == Quote.lot_id)
        .where(Revision.state == "sent", *which).order_by(Revision.id)
    )  # fmt: skip
    return [Ending(*row) for row in work.session.execute(query)]


def last_sent(work: Work, most: int) -> list[tuple[str, QuoteDocument]]:
    """Of the quotes that were sent last, each by its revision that was out last: lot, what it says."""
    query = (
        select(Quote.lot_id, Revision.document)
        .join(Quote, Quote.id == Revision.quote_id)
        .where(Revision.sent_at.is_not(None), Revision.state != "superseded")
        .order_by(Revision.sent_at.desc(), Revision.id.desc()).limit(most)
    )  # fmt: skip
    found = work.session.execute(query)
    return [(lot_id, from_stored(QuoteDocument, said)) for lot_id, said in found]


def accepted_documents(work: Work, lot_ids: Sequence[str]) -> dict[str, QuoteDocument]:
    """The accepted quotes of these lots as they were sent, by lot."""
    query = (
        select(Quote.lot_id, Revision.document)
        .join(Revision, Revision.quote_id == Quote.id)
        .where(Quote.lot_id.in_(lot_ids), Revision.state == "accepted")
    )
    return {lot_id: from_stored(QuoteDocument, document) for lot_id, document in work.session.execute(query)}


def accepted_totals(work: Work, lot_ids: Sequence[str]) -> dict[str, Decimal]:
    """What the accepted quotes of these lots come to, by lot."""
    query = (
        select(Quote.lot_id, Revision.total)
        .join(Revision, Revision.quote_id == Quote.id)
        .where(Quote.lot_id.in_(lot_ids), Revision.state == "accepted")
    )
    return {lot_id: total for lot_id, total in work.session.execute(query) if total is not None}
