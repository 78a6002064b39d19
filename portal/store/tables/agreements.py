"""Agreements on prices with builders. Neither table is ever edited."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.lots import Subdivision
from portal.store.tables.people import Company


class Agreement(Base):
    """Prices agreed with a builder, for all lots or those of one subdivision: bands or a percentage."""

    __tablename__ = "agreement"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    subdivision_id: Mapped[str | None] = mapped_column(ForeignKey("subdivision.id"))
    first_day: Mapped[date]
    #: As entered with it; a later line in `agreement_end` may bring it forward.
    last_day: Mapped[date | None]
    document: Mapped[dict[str, Any]]
    note: Mapped[str] = mapped_column(Text, default="")
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]
    company: Mapped[Company] = relationship(lazy="joined")
    subdivision: Mapped[Subdivision | None] = relationship(lazy="joined")
    end: Mapped[AgreementEnd | None] = relationship(lazy="joined")


class AgreementEnd(Base):
    """An agreement brought to its end: its last day, and why."""

    __tablename__ = "agreement_end"
    agreement_id: Mapped[str] = mapped_column(ForeignKey("agreement.id"), primary_key=True)
    last_day: Mapped[date]
    reason: Mapped[str] = mapped_column(String(500))
    ended_by: Mapped[str] = mapped_column(String(200))
    ended_at: Mapped[datetime]
