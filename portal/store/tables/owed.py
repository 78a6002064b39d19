"""Invoices, payments and what else happens to money, the series of numbers, and warranties."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, Index, Integer, String, Text, text
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class NumberSeries(Base):
    """The last number given in a yearly series. Counted up in the transaction that uses it, so no gaps."""

    __tablename__ = "number_series"
    name: Mapped[str] = mapped_column(String(30), primary_key=True)
    last: Mapped[int]


class Invoice(Base):
    """What is owed. The document never changes; `state` follows what its postings come to.

    `lot_id` is the lot on whose sheet it stands, the first where it is for several. Of `total`, `retained`
    is held back until it is released. `rebills_id` names the invoice that was credited and is billed anew.
    """

    __tablename__ = "invoice"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    kind: Mapped[str] = mapped_column(String(20), server_default="treatment")
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), index=True)
    package_id: Mapped[str | None] = mapped_column(ForeignKey("package.id"), index=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    total: Mapped[Decimal]
    retained: Mapped[Decimal] = mapped_column(server_default="0")
    state: Mapped[str] = mapped_column(String(20), index=True)
    issued_on: Mapped[date]
    due_on: Mapped[date]
    rebills_id: Mapped[str | None] = mapped_column(ForeignKey("invoice.id"))


class InvoiceLot(Base):
    """A lot that an invoice is for. Of a lot's invoices one speaks for it: that of its treatment."""

    __tablename__ = "invoice_lot"
    __table_args__ = (
        Index(
            "uq_invoice_lot_speaks", "lot_id", unique=True,
            sqlite_where=text("speaks"), postgresql_where=text("speaks"),
        ),
        Index("ix_invoice_lot_lot_id", "lot_id"),
    )  # fmt: skip
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), primary_key=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), primary_key=True)
    speaks: Mapped[bool]


class Payment(Base):
    """Money that came from a builder. Never edited; what it pays stands in its allocations."""

    __tablename__ = "payment"
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    amount: Mapped[Decimal]
    method: Mapped[str] = mapped_column(String(20))
    reference: Mapped[str] = mapped_column(String(80))
    received_on: Mapped[date]
    recorded_by: Mapped[str] = mapped_column(String(200))
    recorded_at: Mapped[datetime]


class CreditNote(Base):
    """What is taken back of an invoice, whole or by line, with its reason. Never edited."""

    __tablename__ = "credit_note"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    total: Mapped[Decimal]
    issued_on: Mapped[date]


class Allocation(Base):
    """How much of a payment, or of a credit note, pays an invoice. Less than zero where that is undone."""

    __tablename__ = "allocation"
    seq: Mapped[int] = mapped_column(BigInteger().with_variant(Integer, "sqlite"), primary_key=True)
    payment_id: Mapped[str | None] = mapped_column(ForeignKey("payment.id"), index=True)
    credit_note_id: Mapped[str | None] = mapped_column(ForeignKey("credit_note.id"), index=True)
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    amount: Mapped[Decimal]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class Adjustment(Base):
    """What else happened to money: a check bounced, a credit refunded, an invoice written off, retainage
    released. `kind` says which; `on` is its own day. Never edited. A payment bounces once."""

    __tablename__ = "adjustment"
    __table_args__ = (
        Index(
            "uq_adjustment_bounced", "payment_id", unique=True,
            sqlite_where=text("kind = 'bounced'"), postgresql_where=text("kind = 'bounced'"),
        ),
    )  # fmt: skip
    id: Mapped[str] = key()
    kind: Mapped[str] = mapped_column(String(20))
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    invoice_id: Mapped[str | None] = mapped_column(ForeignKey("invoice.id"), index=True)
    payment_id: Mapped[str | None] = mapped_column(ForeignKey("payment.id"), index=True)
    amount: Mapped[Decimal]
    method: Mapped[str] = mapped_column(String(20), default="")
    reference: Mapped[str] = mapped_column(String(80), default="")
    reason: Mapped[str] = mapped_column(String(500), default="")
    on: Mapped[date]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class Warranty(Base):
    """The promise. `house_key` is the house number as compared; `link_token` is what the QR carries."""

    __tablename__ = "warranty"
    __table_args__ = (
        Index("ix_warranty_state_made_at", "state", "made_at"),
        Index("ix_warranty_state_ends_on", "state", "ends_on"),
    )
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
