"""Lists of lots out of somebody's own sheet: what was read, what is entered, how columns were named."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class LotList(Base):
    """A sheet as it was read. `state` is naming, looked, entering or done.

    `naming` has one of our columns, or nothing, for each of `headers`; `fill` what is said once for all rows.
    """

    __tablename__ = "lot_list"
    __table_args__ = (
        Index("ix_lot_list_company_id_made_at", "company_id", "made_at", "id"),
        Index("ix_lot_list_state", "state"),
    )
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    name: Mapped[str] = mapped_column(String(200))
    encoding: Mapped[str] = mapped_column(String(20))
    delimiter: Mapped[str] = mapped_column(String(1))
    headers: Mapped[list[Any]]
    naming: Mapped[list[Any]]
    fill: Mapped[dict[str, Any]]
    state: Mapped[str] = mapped_column(String(20))
    made_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    made_by_name: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]
    #: Who pressed *Ask for these prices*: the lots are entered in their name, whoever goes on with it.
    entered_by: Mapped[str | None] = mapped_column(ForeignKey("person.id"))
    finished_at: Mapped[datetime | None]
    package_id: Mapped[str | None] = mapped_column(ForeignKey("package.id"))


class LotListRow(Base):
    """A row of a list. `state` is read, good, bad, before or entered.

    `said` is the lot as it was read, `same_as` the line of an earlier row about the same lot.
    """

    __tablename__ = "lot_list_row"
    __table_args__ = (
        UniqueConstraint("list_id", "number"),
        Index("ix_lot_list_row_list_id_state", "list_id", "state", "number"),
    )
    id: Mapped[str] = key()
    list_id: Mapped[str] = mapped_column(ForeignKey("lot_list.id"))
    number: Mapped[int]
    line: Mapped[int]
    cells: Mapped[list[Any]]
    state: Mapped[str] = mapped_column(String(20))
    said: Mapped[dict[str, Any] | None]
    problems: Mapped[list[Any]]
    identity: Mapped[str] = mapped_column(String(64), default="")
    content: Mapped[str] = mapped_column(String(64), default="")
    same_as: Mapped[int | None]
    lot_id: Mapped[str | None] = mapped_column(ForeignKey("lot.id"))
    feet: Mapped[str] = mapped_column(String(20), default="")
    price: Mapped[str] = mapped_column(String(20), default="")


class LotIdentity(Base):
    """A lot that was entered from a list, under the print of its place: one lot a print and builder."""

    __tablename__ = "lot_identity"
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), primary_key=True)
    identity: Mapped[str] = mapped_column(String(64), primary_key=True)
    content: Mapped[str] = mapped_column(String(64))
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"))


class ListHeading(Base):
    """What a builder said a header stands for: one of our columns, or nothing. The next list knows."""

    __tablename__ = "list_heading"
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), primary_key=True)
    header: Mapped[str] = mapped_column(String(200), primary_key=True)
    stands_for: Mapped[str] = mapped_column(String(40))
