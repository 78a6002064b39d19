"""Who said yes to a revision, and the links mailed to purchasers to answer one."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import ForeignKey, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.quotes import Revision


class PurchaserLink(Base):
    """A link to one revision for one person, kept under its token's SHA-256: a copied database opens nothing.

    `expires_on` is its last day; `answer` is one of core/purchaser.py ANSWERS, or nothing yet.
    """

    __tablename__ = "purchaser_link"
    id: Mapped[str] = key()
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"), index=True)
    revision_id: Mapped[str] = mapped_column(ForeignKey("revision.id"), index=True)
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    made_by: Mapped[str] = mapped_column(String(200))
    made_by_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]
    expires_on: Mapped[date]
    opened_at: Mapped[datetime | None]
    withdrawn_at: Mapped[datetime | None]
    withdrawn_by: Mapped[str] = mapped_column(String(200), default="")
    answer: Mapped[str] = mapped_column(String(20), default="")
    answered_at: Mapped[datetime | None]
    answered_name: Mapped[str] = mapped_column(String(200), default="")
    purchase_order: Mapped[str] = mapped_column(String(80), default="")
    reason: Mapped[str] = mapped_column(Text, default="")
    revision: Mapped[Revision] = relationship(lazy="joined")


class Consent(Base):
    """One person's yes to a revision: never edited, at most taken back before a second completes it.

    `amount` is what it was about, `over` the amount above which its company then wanted two.
    """

    __tablename__ = "consent"
    id: Mapped[str] = key()
    revision_id: Mapped[str] = mapped_column(ForeignKey("revision.id"), index=True)
    link_id: Mapped[str | None] = mapped_column(ForeignKey("purchaser_link.id"))
    person_id: Mapped[str | None] = mapped_column(ForeignKey("person.id"))
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    fingerprint: Mapped[str] = mapped_column(String(64))
    purchase_order: Mapped[str] = mapped_column(String(80))
    amount: Mapped[Decimal]
    over: Mapped[Decimal | None]
    given_at: Mapped[datetime]
    taken_back_at: Mapped[datetime | None]
    taken_back_by: Mapped[str] = mapped_column(String(200), default="")
    link: Mapped[PurchaserLink | None] = relationship(lazy="joined")
