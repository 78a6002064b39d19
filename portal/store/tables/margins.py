"""What a quote's revision costs and leaves. A table of its own: no document of a builder's has it."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base


class Margin(Base):
    """As reckoned when the revision was approved; approved once more, it is reckoned once more.

    `reason` is the owner's, where it was approved under the floor. `revenue` is the price without tax;
    `cost` is None where the office had not entered what a job costs.
    """

    __tablename__ = "margin"
    revision_id: Mapped[str] = mapped_column(ForeignKey("revision.id"), primary_key=True)
    document: Mapped[dict[str, Any]]
    revenue: Mapped[Decimal]
    cost: Mapped[Decimal | None]
    reason: Mapped[str] = mapped_column(String(500), default="")
    reason_by: Mapped[str] = mapped_column(String(200), default="")
    made_at: Mapped[datetime]
