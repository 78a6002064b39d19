"""Subdivisions, lots and their takeoffs."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint, false
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.packages import Package
from portal.store.tables.people import Company


class Subdivision(Base):
    """A builder's subdivision."""

    __tablename__ = "subdivision"
    __table_args__ = (UniqueConstraint("company_id", "name"),)
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    name: Mapped[str] = mapped_column(String(200))
    #: How far it is from where the office starts, as entered there; empty where it is not known yet.
    miles: Mapped[str] = mapped_column(String(12), default="", server_default="")


class Lot(Base):
    """One house on one piece of ground. `stage`, `feet` and `price` are derived, kept here for lists.

    By `kind` it is tied to another: what was treated again under that lot's warranty, or was added to it.
    """

    __tablename__ = "lot"
    __table_args__ = (
        Index("ix_lot_company_id_changed_at", "company_id", "changed_at", "id"),
        Index("ix_lot_company_id_stage", "company_id", "stage", "holds_until"),
        Index("ix_lot_stage_changed_at", "stage", "changed_at", "id"),
        Index("ix_lot_stage_holds_until", "stage", "holds_until"),
        Index("ix_lot_changed_at", "changed_at", "id"),
    )
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    subdivision_id: Mapped[str | None] = mapped_column(ForeignKey("subdivision.id"), index=True)
    #: The package it is priced in, together with others.
    package_id: Mapped[str | None] = mapped_column(ForeignKey("package.id"), index=True)
    name: Mapped[str] = mapped_column(String(200))
    house_number: Mapped[str] = mapped_column(String(20))
    street: Mapped[str] = mapped_column(String(200))
    town: Mapped[str] = mapped_column(String(100))
    state: Mapped[str] = mapped_column(String(40))
    postal_code: Mapped[str] = mapped_column(String(20))
    foundation: Mapped[str] = mapped_column(String(20))
    #: The window of its open frame: from framing done to the day insulation starts; siding comes between.
    framing_done: Mapped[date | None]
    siding_starts: Mapped[date | None]
    insulation_starts: Mapped[date | None]
    notes: Mapped[str] = mapped_column(Text, default="")
    #: The edition of a house plan that its takeoff was made from, and whether that was flipped east to west.
    plan_edition_id: Mapped[str | None] = mapped_column(ForeignKey("plan_edition.id"), index=True)
    mirrored: Mapped[bool] = mapped_column(default=False, server_default=false())
    stage: Mapped[str] = mapped_column(String(20))
    #: The last day on which a stage holds that ends by itself: a quote's, a warranty's.
    holds_until: Mapped[date | None]
    feet: Mapped[str] = mapped_column(String(20), default="")
    price: Mapped[str] = mapped_column(String(20), default="")
    #: As of a subdivision, for a lot that is in none.
    miles: Mapped[str] = mapped_column(String(12), default="", server_default="")
    #: house, retreatment or addition; of the latter two, the lot they are tied to.
    kind: Mapped[str] = mapped_column(String(20), default="house", server_default="house")
    of_lot_id: Mapped[str | None] = mapped_column(String(20), index=True)
    version: Mapped[int] = mapped_column()
    changed_at: Mapped[datetime]
    created_at: Mapped[datetime]
    created_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    company: Mapped[Company] = relationship(lazy="joined")
    subdivision: Mapped[Subdivision | None] = relationship(lazy="joined")
    package: Mapped[Package | None] = relationship()
    __mapper_args__ = {"version_id_col": version}


class Takeoff(Base):
    """One edition of a lot's takeoff: the house as entered, the estimate computed from it. Never edited."""

    __tablename__ = "takeoff"
    __table_args__ = (UniqueConstraint("lot_id", "edition"),)
    id: Mapped[str] = key()
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"))
    edition: Mapped[int]
    house: Mapped[dict[str, Any]]
    estimate: Mapped[dict[str, Any]]
    entered_by: Mapped[str] = mapped_column(String(200))
    entered_at: Mapped[datetime]
