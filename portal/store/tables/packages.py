"""Packages: lots of one builder that are priced and answered together."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String
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
