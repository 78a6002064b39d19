"""Jobs, and the treatment records they end in."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.lots import Lot
from portal.store.tables.people import Person
from portal.store.tables.quotes import Revision


class Job(Base):
    """The treatment of one lot by one accepted revision. `entry` is what the technician typed so far."""

    __tablename__ = "job"
    __table_args__ = (Index("ix_job_technician_id_day", "technician_id", "day"),)
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), unique=True)
    revision_id: Mapped[str] = mapped_column(ForeignKey("revision.id"))
    state: Mapped[str] = mapped_column(String(20), index=True)
    technician_id: Mapped[str | None] = mapped_column(ForeignKey("person.id"))
    day: Mapped[date | None]
    #: On site, by the accepted quote's estimate, in whole minutes.
    minutes: Mapped[int] = mapped_column(default=0, server_default="0")
    notes: Mapped[str] = mapped_column(Text, default="")
    entry: Mapped[dict[str, Any]] = mapped_column(default=dict)
    sheet: Mapped[dict[str, Any] | None]
    version: Mapped[int] = mapped_column()
    lot: Mapped[Lot] = relationship(lazy="joined")
    revision: Mapped[Revision] = relationship()
    technician: Mapped[Person | None] = relationship(lazy="joined")
    __mapper_args__ = {"version_id_col": version}


class TreatmentRecord(Base):
    """What was really done. Never edited."""

    __tablename__ = "treatment_record"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), unique=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), unique=True)
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    marked_by: Mapped[str] = mapped_column(String(200))
    marked_at: Mapped[datetime]
