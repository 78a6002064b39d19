"""House plans: a builder's own library, each plan with its editions."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key


class HousePlan(Base):
    """A plan of a builder. `name_key` is the name as names are told apart, whatever their case.

    A retired plan keeps its name, so that a lot made from it is never taken for another plan's.
    """

    __tablename__ = "house_plan"
    __table_args__ = (UniqueConstraint("company_id", "name_key"),)
    id: Mapped[str] = key()
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    name: Mapped[str] = mapped_column(String(200))
    name_key: Mapped[str] = mapped_column(String(600))
    retired_at: Mapped[datetime | None]
    version: Mapped[int] = mapped_column()
    changed_at: Mapped[datetime]
    changed_by: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime]
    created_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    __mapper_args__ = {"version_id_col": version}


class PlanEdition(Base):
    """One edition of a plan, never edited: the house as entered, with the siding that a lot starts with."""

    __tablename__ = "plan_edition"
    __table_args__ = (UniqueConstraint("plan_id", "number"),)
    id: Mapped[str] = key()
    plan_id: Mapped[str] = mapped_column(ForeignKey("house_plan.id"))
    number: Mapped[int]
    house: Mapped[dict[str, Any]]
    note: Mapped[str] = mapped_column(Text, default="")
    entered_by: Mapped[str] = mapped_column(String(200))
    entered_at: Mapped[datetime]
