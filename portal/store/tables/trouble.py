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
    #: The lot under which it is treated again, once that was made.
    retreat_lot_id: Mapped[str | None] = mapped_column(String(20), index=True)


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


class Addition(Base):
    """Wood that is to be added to a treated house, and that somebody asks to have treated as well.

    `asked_by`: holder, builder or office. `state`: asked, taken on (then `made_lot_id` is its lot), declined.
    """

    __tablename__ = "addition"
    __table_args__ = (Index("ix_addition_state_made_at", "state", "made_at"),)
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"), index=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), index=True)
    asked_by: Mapped[str] = mapped_column(String(20))
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    phone: Mapped[str] = mapped_column(String(40))
    words: Mapped[str] = mapped_column(Text)
    #: When its frame will stand open, as far as whoever asks knows.
    framed_on: Mapped[date | None]
    made_at: Mapped[datetime]
    state: Mapped[str] = mapped_column(String(20))
    reason: Mapped[str] = mapped_column(Text, default="")
    decided_by: Mapped[str] = mapped_column(String(200), default="")
    decided_at: Mapped[datetime | None]
    made_lot_id: Mapped[str | None] = mapped_column(ForeignKey("lot.id"))
