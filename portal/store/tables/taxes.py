"""Jurisdictions with the editions of their tax tables, where they hold, and builders' exemptions."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.lots import Subdivision


class Jurisdiction(Base):
    """Somebody a tax is owed to, as the office named it: for good, because papers and books say it."""

    __tablename__ = "jurisdiction"
    id: Mapped[str] = key()
    name: Mapped[str] = mapped_column(String(100))
    name_key: Mapped[str] = mapped_column(String(100), unique=True)
    made_at: Mapped[datetime]


class TaxEdition(Base):
    """A numbered edition of a jurisdiction's table. Valid from its first day, never edited."""

    __tablename__ = "tax_edition"
    __table_args__ = (UniqueConstraint("jurisdiction_id", "number"),)
    id: Mapped[str] = key()
    jurisdiction_id: Mapped[str] = mapped_column(ForeignKey("jurisdiction.id"))
    number: Mapped[int]
    first_day: Mapped[date]
    document: Mapped[dict[str, Any]]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class TaxPlace(Base):
    """Where a jurisdiction's table holds, under the key of the place: a subdivision, a town, or the default.

    `place_key` is `default`, `town:<state>/<town>` in lower case, or `subdivision:<id>`.
    """

    __tablename__ = "tax_place"
    place_key: Mapped[str] = mapped_column(String(200), primary_key=True)
    jurisdiction_id: Mapped[str] = mapped_column(ForeignKey("jurisdiction.id"), index=True)
    subdivision_id: Mapped[str | None] = mapped_column(ForeignKey("subdivision.id"))
    town: Mapped[str] = mapped_column(String(100), default="")
    state: Mapped[str] = mapped_column(String(40), default="")
    set_by: Mapped[str] = mapped_column(String(200))
    set_at: Mapped[datetime]
    jurisdiction: Mapped[Jurisdiction] = relationship(lazy="joined")
    subdivision: Mapped[Subdivision | None] = relationship(lazy="joined")


class TaxExemption(Base):
    """A builder's certificate. Without a jurisdiction it holds in all. Withdrawn, it covers no day."""

    __tablename__ = "tax_exemption"
    __table_args__ = (Index("ix_tax_exemption_company_id_last_day", "company_id", "last_day"),)
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    jurisdiction_id: Mapped[str | None] = mapped_column(ForeignKey("jurisdiction.id"))
    number: Mapped[str] = mapped_column(String(60))
    first_day: Mapped[date]
    last_day: Mapped[date] = mapped_column(index=True)
    entered_by: Mapped[str] = mapped_column(String(200))
    entered_at: Mapped[datetime]
    withdrawn_by: Mapped[str] = mapped_column(String(200), default="")
    withdrawn_at: Mapped[datetime | None]
    jurisdiction: Mapped[Jurisdiction | None] = relationship(lazy="joined")
