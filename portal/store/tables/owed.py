"""Invoices, payments, the series of their numbers, and warranties."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class NumberSeries(Base):
    """The last number given in a yearly series. Counted up in the transaction that uses it, so no gaps."""

    __tablename__ = "number_series"
    name: Mapped[str] = mapped_column(String(30), primary_key=True)
    last: Mapped[int]


class Invoice(Base):
    """What is owed for a treated lot. The document never changes; `state` follows its payments."""

    __tablename__ = "invoice"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), unique=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    total: Mapped[Decimal]
    state: Mapped[str] = mapped_column(String(20), index=True)
    issued_on: Mapped[date]
    due_on: Mapped[date]


class Payment(Base):
    """Money that came. Never edited."""

    __tablename__ = "payment"
    id: Mapped[str] = key()
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    amount: Mapped[Decimal]
    method: Mapped[str] = mapped_column(String(20))
    reference: Mapped[str] = mapped_column(String(80))
    received_on: Mapped[date]
    recorded_by: Mapped[str] = mapped_column(String(200))
    recorded_at: Mapped[datetime]


class Warranty(Base):
    """The promise. `house_key` is the house number as compared; `link_token` is what the QR carries."""

    __tablename__ = "warranty"
    __table_args__ = (Index("ix_warranty_state_made_at", "state", "made_at"),)
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(20), unique=True)
    link_token: Mapped[str] = mapped_column(String(40), unique=True)
    house_key: Mapped[str] = mapped_column(String(60))
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), unique=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    record_id: Mapped[str] = mapped_column(ForeignKey("treatment_record.id"))
    document: Mapped[dict[str, Any]]
    state: Mapped[str] = mapped_column(String(20))
    reason: Mapped[str] = mapped_column(Text, default="")
    begins_on: Mapped[date | None]
    ends_on: Mapped[date | None]
    made_at: Mapped[datetime]
