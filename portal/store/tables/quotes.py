"""Editions of what the office entered, quotes, their revisions and extra lines."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.lots import Takeoff


class Edition(Base):
    """A numbered edition of rates, product, crew, terms or firm. Valid from its first day, never edited."""

    __tablename__ = "edition"
    __table_args__ = (UniqueConstraint("kind", "number"),)
    id: Mapped[str] = key()
    kind: Mapped[str] = mapped_column(String(20))
    number: Mapped[int]
    first_day: Mapped[date]
    document: Mapped[dict[str, Any]]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class Quote(Base):
    """A lot's quote: one number, any number of revisions. `current` is the newest revision's number."""

    __tablename__ = "quote"
    id: Mapped[str] = key()
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), unique=True)
    number: Mapped[str] = mapped_column(String(30), unique=True)
    current: Mapped[int]
    created_at: Mapped[datetime]


class Revision(Base):
    """One revision of a quote. From *sent* on its document and fingerprint never change."""

    __tablename__ = "revision"
    __table_args__ = (UniqueConstraint("quote_id", "number"),)
    id: Mapped[str] = key()
    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"))
    number: Mapped[int]
    state: Mapped[str] = mapped_column(String(20), index=True)
    takeoff_id: Mapped[str] = mapped_column(ForeignKey("takeoff.id"))
    remarks: Mapped[str] = mapped_column(Text, default="")
    document: Mapped[dict[str, Any] | None]
    fingerprint: Mapped[str | None] = mapped_column(String(64))
    total: Mapped[Decimal | None]
    expires_on: Mapped[date | None] = mapped_column(index=True)
    approved_by: Mapped[str] = mapped_column(String(200), default="")
    #: The fingerprint of what was approved, its days left out: what is sent must be the same.
    approved_mark: Mapped[str] = mapped_column(String(64), default="")
    sent_at: Mapped[datetime | None] = mapped_column(index=True)
    #: When the builder was reminded that it lapses soon.
    reminded_at: Mapped[datetime | None]
    decided_at: Mapped[datetime | None]
    decided_by: Mapped[str] = mapped_column(String(200), default="")
    purchase_order: Mapped[str] = mapped_column(String(80), default="")
    decline_reason: Mapped[str] = mapped_column(Text, default="")
    version: Mapped[int] = mapped_column()
    quote: Mapped[Quote] = relationship(lazy="joined")
    takeoff: Mapped[Takeoff] = relationship()
    extras: Mapped[list[Extra]] = relationship(
        order_by="Extra.position", lazy="selectin", cascade="all, delete-orphan"
    )
    __mapper_args__ = {"version_id_col": version}


class Extra(Base):
    """A line the office added to a revision, with its reason."""

    __tablename__ = "extra"
    id: Mapped[str] = key()
    revision_id: Mapped[str] = mapped_column(ForeignKey("revision.id"), index=True)
    position: Mapped[int]
    label: Mapped[str] = mapped_column(String(200))
    reason: Mapped[str] = mapped_column(String(500))
    amount: Mapped[Decimal]
    #: Of one from the rate book's list: how many, pieces or feet, each at which price. Exact, as text.
    quantity: Mapped[str] = mapped_column(String(20), default="", server_default="")
    unit: Mapped[str] = mapped_column(String(10), default="", server_default="")
    rate: Mapped[str] = mapped_column(String(30), default="", server_default="")
    added_by: Mapped[str] = mapped_column(String(200))
