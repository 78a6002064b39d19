"""Packages: lots of one builder that are priced and answered together."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class Package(Base):
    """Lots asked for together. Which lots is kept at the lots; each has a quote of its own all the same.

    `version` goes up with every lot put in or taken out.
    """

    __tablename__ = "package"
    __table_args__ = (Index("ix_package_company_id_created_at", "company_id", "created_at", "id"),)
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    number: Mapped[str] = mapped_column(String(30), unique=True)
    name: Mapped[str] = mapped_column(String(200))
    created_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    created_at: Mapped[datetime]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PackageCover(Base):
    """The cover of a package, frozen when it is sent: which quotes it holds together. Never edited."""

    __tablename__ = "package_cover"
    __table_args__ = (UniqueConstraint("package_id", "number"),)
    id: Mapped[str] = key()
    package_id: Mapped[str] = mapped_column(ForeignKey("package.id"))
    number: Mapped[int]
    document: Mapped[dict[str, Any]]
    fingerprint: Mapped[str] = mapped_column(String(64))
    sent_by: Mapped[str] = mapped_column(String(200))
    sent_at: Mapped[datetime]
