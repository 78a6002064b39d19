"""Finds and adds lists of a bank's, their lines, and how their headers were named."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import delete, func, select
from sqlalchemy.dialects import postgresql, sqlite

from portal.core.bank.lines import Line
from portal.core.errors import NotFound
from portal.store.tables import Adjustment, BankHeading, BankLine, BankList, Payment
from portal.store.transaction import Work

AT_ONCE = 500


def add_list(work: Work, **values: Any) -> BankList:
    """A new list."""
    row = BankList(id=work.new_id(), made_at=work.now, before=0, **values)
    work.add(row)
    return row


def bank_list(work: Work, list_id: str) -> BankList:
    """The list. Raises `NotFound`."""
    found = work.session.get(BankList, list_id)
    if found is None:
        raise NotFound("bank list", list_id)
    return found


def locked(work: Work, list_id: str) -> BankList:
    """The list, held against every other writer. Raises `NotFound`."""
    query = select(BankList).where(BankList.id == list_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("bank list", list_id)
    return found


def lists(work: Work, limit: int = 20) -> list[BankList]:
    """The newest lists."""
    return list(
        work.session.scalars(select(BankList).order_by(BankList.made_at.desc(), BankList.id).limit(limit))
    )


def counts(work: Work, list_ids: Collection[str]) -> dict[str, dict[str, int]]:
    """How many lines of each list are in each state."""
    query = (
        select(BankLine.list_id, BankLine.state, func.count()).where(BankLine.list_id.in_(list_ids))
        .group_by(BankLine.list_id, BankLine.state)
    )  # fmt: skip
    found: dict[str, dict[str, int]] = {list_id: {} for list_id in list_ids}
    for list_id, state, count in work.session.execute(query):
        found[list_id][state] = count
    return found


def marks_there(work: Work, marks: Collection[str]) -> set[str]:
    """Of these fingerprints those whose line is here already."""
    wanted, found = sorted(set(marks)), set[str]()
    for begin in range(0, len(wanted), AT_ONCE):
        part = wanted[begin : begin + AT_ONCE]
        query = select(BankLine.fingerprint).where(BankLine.fingerprint.in_(part))
        found |= set(work.session.scalars(query))
    return found


def add_lines(work: Work, list_id: str, lines: Iterable[Line]) -> None:
    """Lines of a list. The fingerprint's key refuses one that is here already."""
    for number, line in enumerate(lines, 1):
        work.put(BankLine(
            id=work.new_id(), list_id=list_id, number=number, line=line.line, day=line.day,
            amount=line.amount, text=line.text, fingerprint=line.mark,
            state="open" if line.amount > 0 else "out",
        ))  # fmt: skip
    work.session.flush()


def lines(work: Work, list_id: str, states: Collection[str], limit: int, offset: int) -> list[BankLine]:
    """Lines of a list in their order."""
    query = select(BankLine).where(BankLine.list_id == list_id)
    query = query.where(BankLine.state.in_(states)) if states else query
    return list(work.session.scalars(query.order_by(BankLine.number).limit(limit).offset(offset)))


def line(work: Work, line_id: str) -> BankLine:
    """The line. Raises `NotFound`."""
    found = work.session.get(BankLine, line_id)
    if found is None:
        raise NotFound("bank line", line_id)
    return found


def locked_line(work: Work, line_id: str) -> BankLine:
    """The line, held against every other writer. Raises `NotFound`."""
    query = select(BankLine).where(BankLine.id == line_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("bank line", line_id)
    return found


def unlinked(work: Work, amounts: Collection[Decimal], first: date, last: date) -> list[Payment]:
    """Payments of these amounts that came in these days, hold, and have no line of a bank behind them."""
    gone = select(Adjustment.payment_id).where(
        Adjustment.kind == "bounced", Adjustment.payment_id.is_not(None)
    )
    linked = select(BankLine.payment_id).where(BankLine.payment_id.is_not(None))
    query = select(Payment).where(
        Payment.amount.in_(list(amounts)), Payment.received_on.between(first, last),
        Payment.id.not_in(gone), Payment.id.not_in(linked),
    )  # fmt: skip
    return list(work.session.scalars(query.order_by(Payment.received_on, Payment.id)))


def line_of(work: Work, payment_id: str) -> BankLine | None:
    """The line that stands behind a payment."""
    return work.session.scalar(select(BankLine).where(BankLine.payment_id == payment_id))


def drop(work: Work, row: BankList) -> None:
    """Drop a list with its lines."""
    work.session.execute(delete(BankLine).where(BankLine.list_id == row.id))
    work.session.execute(delete(BankList).where(BankList.id == row.id))


def headings(work: Work) -> dict[str, str]:
    """What the office said of headers before."""
    return {row.header: row.stands_for for row in work.session.scalars(select(BankHeading))}


def remember(work: Work, said: Mapping[str, str]) -> None:
    """Keep what headers stand for, in place of what was said of them before."""
    work.session.execute(delete(BankHeading).where(BankHeading.header.in_(list(said))))
    insert = postgresql.insert if work.session.get_bind().dialect.name == "postgresql" else sqlite.insert
    for header in sorted(said):  # in one order, or two could wait for each other
        row = {"header": header, "stands_for": said[header]}
        work.session.execute(insert(BankHeading).values(row).on_conflict_do_nothing())
