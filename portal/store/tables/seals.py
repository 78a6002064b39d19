"""Certificates as they were issued, and the signed papers that were made of each. Append-only."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class Certificate(Base):
    """One issue of a warranty's certificate, numbered from 1: its link, its days, and the code in its QR.

    A newer one is issued where one of these changed: it replaces the older, which stays known.
    """

    __tablename__ = "certificate"
    __table_args__ = (UniqueConstraint("warranty_id", "number"),)
    id: Mapped[str] = key()
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"))
    number: Mapped[int]
    link_token: Mapped[str] = mapped_column(String(40))
    begins_on: Mapped[date]
    ends_on: Mapped[date | None]
    key_name: Mapped[str] = mapped_column(String(20))
    code: Mapped[str] = mapped_column(Text)
    #: The fingerprint of all it was made from; printed on it.
    mark: Mapped[str] = mapped_column(String(64), unique=True)
    made_at: Mapped[datetime]


class SealedPaper(Base):
    """The signed PDF of an issue, by the SHA-256 of its bytes.

    A signature is never the same twice. So where the folder of papers lost the bytes, they are signed
    anew, as a further line; both are known as ours.
    """

    __tablename__ = "sealed_paper"
    __table_args__ = (Index("ix_sealed_paper_certificate_id", "certificate_id"),)
    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    certificate_id: Mapped[str] = mapped_column(ForeignKey("certificate.id"))
    key_name: Mapped[str] = mapped_column(String(20))
    made_at: Mapped[datetime]
