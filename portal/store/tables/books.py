"""The ledger: entries of balanced postings. It only grows."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, Index, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base

#: Counted by the database; gaps are allowed, the order is that of entering.
SEQ = BigInteger().with_variant(Integer, "sqlite")


class LedgerEntry(Base):
    """One event in the books. `on` is the day it counts for, `happened_on` the day it happened.

    The two differ where that day's month was closed already. `subject` is the number of the paper it
    stands on, `source_id` the row that it came from.
    """

    __tablename__ = "ledger_entry"
    seq: Mapped[int] = mapped_column(SEQ, primary_key=True)
    event: Mapped[str] = mapped_column(String(30))
    subject: Mapped[str] = mapped_column(String(80))
    source_id: Mapped[str] = mapped_column(String(20), index=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"), index=True)
    on: Mapped[date] = mapped_column(index=True)
    happened_on: Mapped[date]
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class Posting(Base):
    """One side of an entry: debit over zero, credit under it. An entry's postings add up to nothing."""

    __tablename__ = "posting"
    __table_args__ = (
        Index("ix_posting_invoice_id_account", "invoice_id", "account"),
        Index("ix_posting_company_id_account", "company_id", "account"),
    )
    seq: Mapped[int] = mapped_column(SEQ, primary_key=True)
    entry_seq: Mapped[int] = mapped_column(ForeignKey("ledger_entry.seq"), index=True)
    account: Mapped[str] = mapped_column(String(120), index=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    invoice_id: Mapped[str | None] = mapped_column(ForeignKey("invoice.id"))
    amount: Mapped[Decimal]


class ClosedMonth(Base):
    """A month that is closed, up to its last day, with what the accounts came to then. Never edited.

    Nothing is posted up to the newest of these days: the database itself refuses it.
    """

    __tablename__ = "closed_month"
    through: Mapped[date] = mapped_column(primary_key=True)
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    closed_by: Mapped[str] = mapped_column(String(200))
    closed_at: Mapped[datetime]
