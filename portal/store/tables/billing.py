"""How a builder is billed, which deposits an invoice took off, and papers of retainage. All only grow."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class BillingTermsRow(Base):
    """Billing terms entered for a builder, numbered; the newest holds for what is quoted from then on."""

    __tablename__ = "billing_terms"
    __table_args__ = (UniqueConstraint("company_id", "number", name="uq_billing_terms_company_id"),)
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    number: Mapped[int]
    document: Mapped[dict[str, Any]]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class DepositUse(Base):
    """How much of a deposit an invoice took off. Less than zero where a credit note gave it back."""

    __tablename__ = "deposit_use"
    seq: Mapped[int] = mapped_column(BigInteger().with_variant(Integer, "sqlite"), primary_key=True)
    deposit_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    amount: Mapped[Decimal]


class RetainagePaper(Base):
    """The paper of a release of retainage; what was released is the adjustment of the same id."""

    __tablename__ = "retainage_paper"
    adjustment_id: Mapped[str] = mapped_column(ForeignKey("adjustment.id"), primary_key=True)
    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoice.id"), index=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    number: Mapped[str] = mapped_column(String(30), unique=True)
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    due_on: Mapped[date]
