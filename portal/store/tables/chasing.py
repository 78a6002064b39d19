"""What goes on about an invoice until it is paid: reminders, disputes, promises, interest; and statements."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class Reminder(Base):
    """A step that went out for an invoice, so many days after its due day; each at most once."""

    __tablename__ = "reminder"
    __table_args__ = (UniqueConstraint("invoice_id", "days"),)
    id: Mapped[str] = key()
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"))
    days: Mapped[int]
    edition: Mapped[int]
    #: How many persons it was written to.
    told: Mapped[int]
    sent_on: Mapped[date]
    sent_at: Mapped[datetime]


class Dispute(Base):
    """Somebody says that an invoice is not right. While it is open, nobody is reminded of it."""

    __tablename__ = "dispute"
    __table_args__ = (
        Index(
            "uq_dispute_open", "invoice_id", unique=True,
            sqlite_where=text("settled_at IS NULL"), postgresql_where=text("settled_at IS NULL"),
        ),
    )  # fmt: skip
    id: Mapped[str] = key()
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    reason: Mapped[str] = mapped_column(String(1000))
    opened_by: Mapped[str] = mapped_column(String(200))
    opened_at: Mapped[datetime]
    words: Mapped[str] = mapped_column(String(1000), default="")
    settled_by: Mapped[str] = mapped_column(String(200), default="")
    settled_at: Mapped[datetime | None]


class PaymentPromise(Base):
    """Somebody of the builder's said by when an invoice is paid. The newest holds."""

    __tablename__ = "payment_promise"
    id: Mapped[str] = key()
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    by_day: Mapped[date]
    said_by: Mapped[str] = mapped_column(String(200))
    words: Mapped[str] = mapped_column(String(500), default="")
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class BilledInterest(Base):
    """Interest of an invoice that was billed, with the days it is for: none of them is billed again."""

    __tablename__ = "billed_interest"
    __table_args__ = (UniqueConstraint("invoice_id", "first_day"),)
    bill_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), primary_key=True)
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"))
    first_day: Mapped[date]
    last_day: Mapped[date]
    amount: Mapped[Decimal]


class Statement(Base):
    """A builder's statement of a time, frozen when it was made; `sent_at` is when it was last mailed."""

    __tablename__ = "statement"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    first_day: Mapped[date]
    last_day: Mapped[date]
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    closing: Mapped[Decimal]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]
    sent_at: Mapped[datetime | None]
