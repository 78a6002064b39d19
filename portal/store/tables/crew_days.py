"""When technicians are at work, and what calendars are told of their stops."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base


class TechnicianWeek(Base):
    """A technician's usual week: minutes at work, Monday first. Who has none works the house's own."""

    __tablename__ = "technician_week"
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), primary_key=True)
    minutes: Mapped[list[Any]]


class DayOff(Base):
    """A day on which one technician does not treat, and why."""

    __tablename__ = "day_off"
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), primary_key=True)
    day: Mapped[date] = mapped_column(primary_key=True)
    words: Mapped[str] = mapped_column(String(200), default="")


class CalendarAddress(Base):
    """Where a person's calendar is fetched, kept under the SHA-256 of the address's token, as sign-ins are.

    A new address takes the old one's place.
    """

    __tablename__ = "calendar_address"
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), primary_key=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    made_at: Mapped[datetime]


class CalendarStop(Base):
    """One stop as one calendar is told of it. `reader_id` is a technician, or the builder's company.

    It outlives the booking: a calendar that was told of a stop has to be told that it is called off.
    """

    __tablename__ = "calendar_stop"
    __table_args__ = (Index("ix_calendar_stop_reader_id_day", "reader_id", "day"),)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    reader_id: Mapped[str] = mapped_column(String(20), primary_key=True)
    day: Mapped[date]
    sequence: Mapped[int] = mapped_column(default=0)
    called_off: Mapped[bool] = mapped_column(default=False)
    changed_at: Mapped[datetime]
