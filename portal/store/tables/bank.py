"""Lists of a bank's, as somebody sent them: their lines, once each, and what was decided of them."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class BankList(Base):
    """A list as it was read. `state` is naming, or read once its lines are kept.

    `naming` has one of our columns, or nothing, for each of `headers`; `days` and `decimal` are how days and
    amounts are written in it. `rows` are its rows until they are lines; `before` of them were here already.
    """

    __tablename__ = "bank_list"
    __table_args__ = (Index("ix_bank_list_made_at", "made_at", "id"),)
    id: Mapped[str] = key()
    name: Mapped[str] = mapped_column(String(200))
    encoding: Mapped[str] = mapped_column(String(20))
    headers: Mapped[list[Any]]
    naming: Mapped[list[Any]]
    days: Mapped[str] = mapped_column(String(20))
    decimal: Mapped[str] = mapped_column(String(20))
    rows: Mapped[list[Any]]
    before: Mapped[int]
    state: Mapped[str] = mapped_column(String(20))
    made_by_name: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class BankLine(Base):
    """A line of a bank's list. `state` is open, taken, aside, or out for what left the account.

    `fingerprint` is that of its day, amount and text, and of which of those alike it is: no line is kept
    twice. A payment stands behind one line at most.
    """

    __tablename__ = "bank_line"
    __table_args__ = (
        Index("ix_bank_line_list_id_number", "list_id", "number"),
        Index("ix_bank_line_state_day", "state", "day"),
    )
    id: Mapped[str] = key()
    list_id: Mapped[str] = mapped_column(ForeignKey("bank_list.id"))
    number: Mapped[int]
    line: Mapped[int]
    day: Mapped[date]
    amount: Mapped[Decimal]
    text: Mapped[str] = mapped_column(String(1000))
    fingerprint: Mapped[str] = mapped_column(String(64), unique=True)
    state: Mapped[str] = mapped_column(String(20))
    payment_id: Mapped[str | None] = mapped_column(ForeignKey("payment.id"), unique=True)
    reason: Mapped[str] = mapped_column(String(500), default="")
    decided_by: Mapped[str] = mapped_column(String(200), default="")
    decided_at: Mapped[datetime | None]


class BankHeading(Base):
    """What the office said a header of a bank's list stands for. The next list knows."""

    __tablename__ = "bank_heading"
    header: Mapped[str] = mapped_column(String(200), primary_key=True)
    stands_for: Mapped[str] = mapped_column(String(40))
