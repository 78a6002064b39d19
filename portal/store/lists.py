"""Finds and adds lists of lots, their rows, how headers were named, and which lots were entered already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import delete, func, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite

from portal.core.errors import NotFound
from portal.store.tables import ListHeading, Lot, LotIdentity, LotList, LotListRow, Subdivision
from portal.store.transaction import Work

#: As many values as both databases take in one question without a second thought.
AT_ONCE = 500


def lot_list(work: Work, list_id: str, company_id: str | None) -> LotList:
    """The list, where it is this builder's. Raises `NotFound`, for another's as well."""
    found = work.session.get(LotList, list_id)
    if found is None or found.company_id != company_id:
        raise NotFound("list of lots", list_id)
    return found


def locked(work: Work, list_id: str) -> LotList:
    """The list, held against every other writer until this transaction ends. Raises `NotFound`."""
    query = select(LotList).where(LotList.id == list_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("list of lots", list_id)
    return found


def lists(work: Work, company_id: str, limit: int = 20) -> list[LotList]:
    """A builder's newest lists."""
    query = select(LotList).where(LotList.company_id == company_id)
    return list(work.session.scalars(query.order_by(LotList.made_at.desc(), LotList.id).limit(limit)))


def last_fill(work: Work, company_id: str, headers: Sequence[str]) -> dict[str, str]:
    """What held for all rows of this builder's last list with these headers, as far as anything did."""
    of_these = (
        one for one in lists(work, company_id) if one.state != "naming" and list(one.headers) == list(headers)
    )
    return {
        key: text for found in [next(of_these, None)] if found for key, text in found.fill.items() if text
    }


def being_entered(work: Work) -> list[str]:
    """Ids of the lists whose entering is not at its end, oldest first."""
    query = select(LotList.id).where(LotList.state == "entering").order_by(LotList.made_at, LotList.id)
    return list(work.session.scalars(query))


def rows(work: Work, list_id: str, states: Iterable[str] = (), limit: int = 0, offset: int = 0) -> list[Any]:
    """Rows of a list in their order: all of them, or those in one of these states."""
    query = select(LotListRow).where(LotListRow.list_id == list_id).order_by(LotListRow.number)
    if wanted := list(states):
        query = query.where(LotListRow.state.in_(wanted))
    if limit:
        query = query.limit(limit).offset(offset)
    return list(work.session.scalars(query))


def counts(work: Work, list_ids: list[str]) -> dict[str, dict[str, int]]:
    """How many rows of each list are in each state."""
    query = (
        select(LotListRow.list_id, LotListRow.state, func.count())
        .where(LotListRow.list_id.in_(list_ids)).group_by(LotListRow.list_id, LotListRow.state)
    )  # fmt: skip
    found: dict[str, dict[str, int]] = {list_id: {} for list_id in list_ids}
    for list_id, state, count in work.session.execute(query):
        found[list_id][state] = count
    return found


def figures(work: Work, list_id: str, states: Iterable[str]) -> list[tuple[str, str]]:
    """Feet and price of the rows in these states, as they were worked out."""
    query = select(LotListRow.feet, LotListRow.price).where(
        LotListRow.list_id == list_id, LotListRow.state.in_(list(states))
    )
    return [(feet, price) for feet, price in work.session.execute(query)]


def headings(work: Work, company_id: str) -> dict[str, str]:
    """What this builder said of headers before."""
    query = select(ListHeading.header, ListHeading.stands_for).where(ListHeading.company_id == company_id)
    return {row.header: row.stands_for for row in work.session.execute(query)}


def remember(work: Work, company_id: str, said: Mapping[str, str]) -> None:
    """Keep what the headers of a list stand for, in place of what was said of them before."""
    gone = delete(ListHeading).where(ListHeading.company_id == company_id, ListHeading.header.in_(list(said)))
    work.session.execute(gone)
    for header in sorted(said):  # in one order, or two could wait for each other
        row = {"company_id": company_id, "header": header, "stands_for": said[header]}
        work.session.execute(_insert(work)(ListHeading).values(row).on_conflict_do_nothing())


def _insert(work: Work) -> Any:
    return postgresql.insert if work.session.get_bind().dialect.name == "postgresql" else sqlite.insert


def add_identity(work: Work, company_id: str, identity: str, content: str, lot_id: str) -> None:
    """Say which lot was entered under the print of its place. The key refuses a second."""
    work.put(LotIdentity(company_id=company_id, identity=identity, content=content, lot_id=lot_id))


def identities(work: Work, company_id: str, prints: Iterable[str]) -> dict[str, tuple[str, str]]:
    """Of these prints those that are taken: what was said of the lot, and which lot it is."""
    wanted, found = sorted(set(prints)), {}
    for begin in range(0, len(wanted), AT_ONCE):
        query = select(LotIdentity).where(
            LotIdentity.company_id == company_id,
            LotIdentity.identity.in_(wanted[begin : begin + AT_ONCE]),
        )
        for row in work.session.scalars(query):
            found[row.identity] = (row.content, row.lot_id)
    return found


def places(
    work: Work, company_id: str, house_numbers: Iterable[str], names: Iterable[str] = ()
) -> list[dict[str, str]]:
    """Where a builder's lots with one of these house numbers, or names, are; each with its id, however
    entered."""
    columns = (Lot.id, Lot.name, Subdivision.name, Lot.house_number, Lot.street, Lot.town, Lot.state)
    query = (
        select(*columns, Lot.postal_code).outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .where(Lot.company_id == company_id)
        .where(or_(*(
            func.lower(column).in_(sorted({one.lower() for one in wanted}))
            for column, wanted in ((Lot.house_number, house_numbers), (Lot.name, names))
        )))
    )  # fmt: skip
    keys = ("id", "lot", "subdivision", "house_number", "street", "town", "state", "postal_code")
    return [dict(zip(keys, (one or "" for one in row), strict=True)) for row in work.session.execute(query)]


def add_list(work: Work, records: Iterable[tuple[int, list[str]]], **values: Any) -> LotList:
    """A new list with its rows: the line each begins in, and its cells."""
    row = LotList(id=work.new_id(), made_at=work.now, **values)
    work.add(row)
    for number, (line, cells) in enumerate(records, 1):
        work.put(LotListRow(
            id=work.new_id(), list_id=row.id, number=number, line=line, cells=cells, state="read", said=None,
            problems=[], identity="", content="", feet="", price="",
        ))  # fmt: skip
    work.session.flush()
    return row


def point_at_lots(work: Work, row: LotList) -> None:
    """Let the rows that were entered before point at their lots, now that all are there."""
    of_print = (
        select(LotIdentity.lot_id)
        .where(LotIdentity.company_id == row.company_id, LotIdentity.identity == LotListRow.identity)
        .scalar_subquery()
    )
    work.session.execute(
        update(LotListRow)
        .where(LotListRow.list_id == row.id, LotListRow.state == "before", LotListRow.lot_id.is_(None))
        .values(lot_id=of_print)
        .execution_options(synchronize_session=False)
    )


def forget_before(work: Work, moment: datetime) -> None:
    """Drop lists that nobody asked for since, and what was read of them."""
    old = select(LotList.id).where(LotList.made_at < moment, LotList.state.in_(("naming", "looked")))
    work.session.execute(delete(LotListRow).where(LotListRow.list_id.in_(old)))
    work.session.execute(
        delete(LotList).where(LotList.made_at < moment, LotList.state.in_(("naming", "looked")))
    )
