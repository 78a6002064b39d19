"""Reports of trouble at a treated house: what was said, step by step, and the photos."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class Trouble(Base):
    """A report. `state` is its last step, `decision` what was decided; both follow from the steps."""

    __tablename__ = "trouble"
    __table_args__ = (Index("ix_trouble_state_made_at", "state", "made_at"),)
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"), index=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"))
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    phone: Mapped[str] = mapped_column(String(40))
    made_at: Mapped[datetime]
    reported_on: Mapped[date]
    #: The last day for the first answer, as the office's days were when it was reported.
    due_on: Mapped[date]
    state: Mapped[str] = mapped_column(String(20))
    decision: Mapped[str] = mapped_column(String(20), default="")


class TroubleStep(Base):
    """A step of a report. Append-only: what was once told to somebody is not told otherwise later."""

    __tablename__ = "trouble_step"
    __table_args__ = (Index("uq_trouble_step_trouble_id_seq", "trouble_id", "seq", unique=True),)
    id: Mapped[str] = key()
    trouble_id: Mapped[str] = mapped_column(ForeignKey("trouble.id"))
    seq: Mapped[int]
    #: reported, answered, booked, found, decided, done, closed.
    kind: Mapped[str] = mapped_column(String(20))
    at: Mapped[datetime]
    by: Mapped[str] = mapped_column(String(200))
    words: Mapped[str] = mapped_column(Text)
    #: The day of an inspection, or on which something was done.
    day: Mapped[date | None]
    #: Who inspects, or did it.
    person: Mapped[str] = mapped_column(String(200), default="")
    #: The clauses of the terms that a decision goes by.
    clauses: Mapped[list[Any]]


class TroublePhoto(Base):
    """A photo of a report or of an inspection, with nothing in it but what is to be seen."""

    __tablename__ = "trouble_photo"
    id: Mapped[str] = key()
    step_id: Mapped[str] = mapped_column(ForeignKey("trouble_step.id"), index=True)
    trouble_id: Mapped[str] = mapped_column(ForeignKey("trouble.id"), index=True)
    sha256: Mapped[str] = mapped_column(String(64))
    small_sha256: Mapped[str] = mapped_column(String(64))
