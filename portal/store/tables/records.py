"""The further pages of treatment records, and the records that were forgotten when their time was over."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class RecordPage(Base):
    """A further page of a record: sent back, explained or amended. Append-only, numbered from 1 without gaps.

    The document names the fingerprint before it: the record's own, then each page's, so no page can be
    taken out or put between unseen.
    """

    __tablename__ = "record_page"
    __table_args__ = (UniqueConstraint("record_id", "number"),)
    id: Mapped[str] = key()
    record_id: Mapped[str] = mapped_column(ForeignKey("treatment_record.id"))
    number: Mapped[int]
    kind: Mapped[str] = mapped_column(String(20))
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]


class ForgottenRecord(Base):
    """That a record's document was let go, after the day until which it had to be kept."""

    __tablename__ = "forgotten_record"
    record_id: Mapped[str] = mapped_column(ForeignKey("treatment_record.id"), primary_key=True)
    by: Mapped[str] = mapped_column(String(200))
    kept_until: Mapped[date]
    forgotten_at: Mapped[datetime]
