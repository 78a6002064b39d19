"""Builder companies, persons of every kind, and their open sign-ins."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key


class Company(Base):
    """Whoever is billed: a builder; or by `kind` the owner of a treated house, who holds its warranty."""

    __tablename__ = "company"
    __table_args__ = (Index("uq_company_holder_id", "holder_id", unique=True),)
    id: Mapped[str] = key()
    name: Mapped[str] = mapped_column(String(200), unique=True)
    address: Mapped[str] = mapped_column(Text, default="")
    phone: Mapped[str] = mapped_column(String(40), default="")
    email: Mapped[str] = mapped_column(String(254), default="")
    #: Over this amount a quote takes two people's yes; None where one is always enough.
    second_over: Mapped[Decimal | None]
    created_at: Mapped[datetime]
    #: builder or owner.
    kind: Mapped[str] = mapped_column(String(20), default="builder", server_default="builder")
    #: Of an owner: the holder whose account it is. No foreign key, for the holder's table knows of lots.
    holder_id: Mapped[str | None] = mapped_column(String(20))


class Person(Base):
    """Somebody who signs in. `kind` is builder, office or technician; `owner` is an office person's.

    What somebody of a builder's may do stands in the three columns `may_…`. Whoever left stays here
    for the record, no longer `active`; their mail address is free again and stands in `left_email`.
    """

    __tablename__ = "person"
    id: Mapped[str] = key()
    kind: Mapped[str] = mapped_column(String(20))
    owner: Mapped[bool] = mapped_column(default=False)
    may_accept: Mapped[bool] = mapped_column(default=False)
    may_see_money: Mapped[bool] = mapped_column(default=False)
    may_manage_people: Mapped[bool] = mapped_column(default=False)
    #: Kinds of letters that this person asked not to get.
    mails_off: Mapped[list[Any]] = mapped_column(default=list)
    company_id: Mapped[str | None] = mapped_column(ForeignKey("company.id"), index=True)
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254), unique=True)
    phone: Mapped[str] = mapped_column(String(40), default="")
    #: Of a technician: the certificate that stands on records. It is the supervisor's, where there is one.
    certificate: Mapped[str] = mapped_column(String(80), default="")
    supervisor: Mapped[str] = mapped_column(String(200), default="", server_default="")
    password_hash: Mapped[str | None] = mapped_column(Text)
    #: Counts password changes; a mailed link carries it, so that it works once.
    password_turn: Mapped[int] = mapped_column(default=0)
    active: Mapped[bool] = mapped_column(default=True)
    left_at: Mapped[datetime | None]
    left_email: Mapped[str] = mapped_column(String(254), default="")
    created_at: Mapped[datetime]
    company: Mapped[Company | None] = relationship(lazy="joined")


class SignIn(Base):
    """An open sign-in, kept under the SHA-256 of its cookie's token: a copied database opens nothing."""

    __tablename__ = "sign_in"
    token_hash: Mapped[str] = mapped_column(String(64), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), index=True)
    started_at: Mapped[datetime]
    seen_at: Mapped[datetime]
    person: Mapped[Person] = relationship(lazy="joined")
