"""What keeps the house honest: history, mails to send, papers made, keys used once, tries counted."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import BigInteger, Index, Integer, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base, key

#: SQLite counts rows by itself only in a column it calls INTEGER.
Counter = BigInteger().with_variant(Integer, "sqlite")


class History(Base):
    """Who did what, append-only; each line carries the hash of the one before."""

    __tablename__ = "history"
    __table_args__ = (Index("ix_history_lot_id_seq", "lot_id", "seq"),)
    seq: Mapped[int] = mapped_column(Counter, primary_key=True, autoincrement=False)
    at: Mapped[datetime]
    person_id: Mapped[str | None] = mapped_column(String(20))
    by: Mapped[str] = mapped_column(String(200))
    verb: Mapped[str] = mapped_column(String(60))
    lot_id: Mapped[str | None] = mapped_column(String(20))
    subject: Mapped[str] = mapped_column(String(300))
    details: Mapped[dict[str, Any]]
    before: Mapped[str] = mapped_column(String(64))
    hash: Mapped[str] = mapped_column(String(64))


class HistoryHead(Base):
    """The chain's last link. Locked while a line is added, so that the chain never forks."""

    __tablename__ = "history_head"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    seq: Mapped[int] = mapped_column(BigInteger)
    hash: Mapped[str] = mapped_column(String(64))


class Letter(Base):
    """A mail in the outbox. Its message id is made with it, so that a second try is the same mail."""

    __tablename__ = "letter"
    __table_args__ = (Index("ix_letter_sent_at_next_try_at", "sent_at", "next_try_at"),)
    id: Mapped[str] = key()
    message_id: Mapped[str] = mapped_column(String(120), unique=True)
    to: Mapped[str] = mapped_column(String(254))
    subject: Mapped[str] = mapped_column(Text)
    text: Mapped[str] = mapped_column(Text)
    html: Mapped[str] = mapped_column(Text)
    lot_id: Mapped[str | None] = mapped_column(String(20))
    written_at: Mapped[datetime]
    next_try_at: Mapped[datetime]
    tries: Mapped[int] = mapped_column(default=0)
    trouble: Mapped[str] = mapped_column(Text, default="")
    sent_at: Mapped[datetime | None]
    #: Where one press turns this kind of letter off (RFC 8058), for letters that may be turned off.
    unsubscribe: Mapped[str] = mapped_column(Text, default="")


class Paper(Base):
    """A paper made once from a frozen document; its bytes are in the blobs under `sha256`."""

    __tablename__ = "paper"
    __table_args__ = (UniqueConstraint("kind", "subject_id"),)
    id: Mapped[str] = key()
    kind: Mapped[str] = mapped_column(String(30))
    subject_id: Mapped[str] = mapped_column(String(64))
    sha256: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[datetime]


class OnceKey(Base):
    """A form's once-key, the fingerprint of what it said, and what its act answered."""

    __tablename__ = "once_key"
    key: Mapped[str] = mapped_column(String(64), primary_key=True)
    content: Mapped[str] = mapped_column(String(64))
    answer: Mapped[dict[str, Any] | None]
    used_at: Mapped[datetime]


class Try(Base):
    """A wrong try at a door (sign-in, warranty lookup), counted by whom and by what."""

    __tablename__ = "try"
    __table_args__ = (Index("ix_try_door_subject_at", "door", "subject", "at"),)
    id: Mapped[str] = key()
    door: Mapped[str] = mapped_column(String(20))
    subject: Mapped[str] = mapped_column(String(100))
    at: Mapped[datetime]
