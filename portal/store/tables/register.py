"""The warranty register: what each warranty is filed under, lost numbers asked for, and recalls."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from portal.store.tables.base import Base, key
from portal.store.tables.owed import Warranty


class RegisterLine(Base):
    """What a warranty is filed under, copied from its documents, so that a million are searched quickly.

    A table of its own, narrow: the documents of the warranties themselves are never read by a search.
    """

    __tablename__ = "register_line"
    __table_args__ = (
        Index("ix_register_line_treated_on", "treated_on", "warranty_id"),
        Index("ix_register_line_company_id_treated_on", "company_id", "treated_on"),
        Index("ix_register_line_subdivision_key_treated_on", "subdivision_key", "treated_on"),
        Index("ix_register_line_technician_key_treated_on", "technician_key", "treated_on"),
        Index("ix_register_line_certificate_key_treated_on", "certificate_key", "treated_on"),
        Index("ix_register_line_state_treated_on_warranty_id", "state", "treated_on", "warranty_id"),
        Index("ix_register_line_state_year_ends_on", "state", "year", "ends_on"),
    )
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"), primary_key=True)
    company_id: Mapped[str] = mapped_column(ForeignKey("company.id"))
    find_key: Mapped[str] = mapped_column(String(64), unique=True)
    place_key: Mapped[str] = mapped_column(String(240), index=True)
    subdivision_key: Mapped[str] = mapped_column(String(200))
    technician: Mapped[str] = mapped_column(String(200))
    technician_key: Mapped[str] = mapped_column(String(200))
    certificate: Mapped[str] = mapped_column(String(200))
    certificate_key: Mapped[str] = mapped_column(String(120))
    container_lot: Mapped[str] = mapped_column(String(100))
    registration: Mapped[str] = mapped_column(String(200))
    registration_key: Mapped[str] = mapped_column(String(120))
    treated_on: Mapped[date]
    year: Mapped[int]
    #: As the warranty has them: a trigger on that follows every change.
    state: Mapped[str] = mapped_column(String(20))
    ends_on: Mapped[date | None]
    #: Lot, address and builder in small letters: what a text is looked for in.
    says: Mapped[str] = mapped_column(Text)


class RegisterContainer(Base):
    """A product lot that a treatment used; of a treatment that used two, both."""

    __tablename__ = "register_container"
    container_key: Mapped[str] = mapped_column(String(120), primary_key=True)
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"), primary_key=True, index=True)


class Holder(Base):
    """Somebody whose warranty it is or was. One at a time: the one whose `until` is open.

    `how` they came to it: named (by the builder or the office, as the first owner) or transferred.
    """

    __tablename__ = "holder"
    __table_args__ = (
        Index(
            "uq_holder_warranty_id_now", "warranty_id", unique=True,
            sqlite_where=text("until IS NULL"), postgresql_where=text("until IS NULL"),
        ),
        Index("ix_holder_warranty_id_since", "warranty_id", "since"),
        Index("ix_holder_until_removed_at", "until", "removed_at"),
    )  # fmt: skip
    id: Mapped[str] = key()
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"))
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    phone: Mapped[str] = mapped_column(String(40))
    #: The day of closing.
    since: Mapped[date]
    until: Mapped[date | None]
    how: Mapped[str] = mapped_column(String(20))
    made_at: Mapped[datetime]
    made_by: Mapped[str] = mapped_column(String(200))
    ended_reason: Mapped[str] = mapped_column(Text, default="")
    #: Counts this holder's links: a mailed one carries it, and an older one opens nothing.
    turn: Mapped[int] = mapped_column(default=0, server_default="0")
    #: When their name, mail address and phone were removed.
    removed_at: Mapped[datetime | None]


class Transfer(Base):
    """A warranty handed from one owner of a house to the next: asked for, and what came of it.

    `state`: office (waits for what the terms ask for), open (waits for the buyer), accepted, declined,
    withdrawn. `fee_state`: nothing where the terms ask for none, else owed, paid or waived.
    """

    __tablename__ = "transfer"
    __table_args__ = (
        Index(
            "uq_transfer_warranty_id_now", "warranty_id", unique=True,
            sqlite_where=text("state IN ('office', 'open')"),
            postgresql_where=text("state IN ('office', 'open')"),
        ),
        Index("ix_transfer_warranty_id_asked_at", "warranty_id", "asked_at"),
    )  # fmt: skip
    id: Mapped[str] = key()
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"))
    from_id: Mapped[str] = mapped_column(ForeignKey("holder.id"))
    to_id: Mapped[str | None] = mapped_column(ForeignKey("holder.id"))
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    closed_on: Mapped[date]
    state: Mapped[str] = mapped_column(String(20))
    #: holder or office.
    asked_by: Mapped[str] = mapped_column(String(20))
    asked_at: Mapped[datetime]
    fee: Mapped[Decimal]
    fee_state: Mapped[str] = mapped_column(String(20))
    #: The invoice of the fee, once it was billed.
    fee_invoice_id: Mapped[str | None] = mapped_column(String(20), index=True)
    evidence: Mapped[str] = mapped_column(Text, default="")
    evidence_name: Mapped[str] = mapped_column(String(200), default="")
    evidence_sha256: Mapped[str] = mapped_column(String(64), default="")
    reason: Mapped[str] = mapped_column(Text, default="")
    decided_by: Mapped[str] = mapped_column(String(200), default="")
    decided_at: Mapped[datetime | None]


class Renewal(Base):
    """A warranty's next term: offered once for the term that ends, and what came of it.

    `state`: offered, accepted (waits to be looked at), looked at (waits to be paid), renewed, declined,
    failed (by what was found), lapsed, not paid (the invoice was credited or written off), void (with the
    warranty). The fee is what was offered, by the rate book's edition
    `rate_edition`; 0 where the terms' own fee stands.
    """

    __tablename__ = "renewal"
    __table_args__ = (
        UniqueConstraint("warranty_id", "ended_on", name="uq_renewal_warranty_id_ended_on"),
        Index("ix_renewal_state_last_day", "state", "last_day"),
    )
    id: Mapped[str] = key()
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"))
    lot_id: Mapped[str] = mapped_column(ForeignKey("lot.id"))
    #: To whom it was offered; nobody where no holder is on record.
    holder_id: Mapped[str | None] = mapped_column(String(20))
    #: The last day of the term that ends, of the next one, and on which the next can still be taken up.
    ended_on: Mapped[date]
    until: Mapped[date]
    last_day: Mapped[date]
    fee: Mapped[Decimal]
    rate_edition: Mapped[int]
    inspection: Mapped[bool]
    offered_at: Mapped[datetime]
    state: Mapped[str] = mapped_column(String(20))
    answered_by: Mapped[str] = mapped_column(String(200), default="")
    answered_at: Mapped[datetime | None]
    looks_on: Mapped[date | None]
    looked_by: Mapped[str] = mapped_column(String(200), default="")
    found: Mapped[str] = mapped_column(Text, default="")
    invoice_id: Mapped[str | None] = mapped_column(String(20), index=True)


class LinkAsked(Base):
    """A holder's link that somebody asked for anew. The worker answers it, and drops the row."""

    __tablename__ = "link_asked"
    __table_args__ = (Index("ix_link_asked_asked_at", "asked_at"),)
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(40))
    email: Mapped[str] = mapped_column(String(254))
    asked_at: Mapped[datetime]


class LostNumber(Base):
    """A lost number that somebody asked for. The worker answers it, and drops the row.

    Kept first and looked up later, so that asking is the same work whether there is such a house or not.
    """

    __tablename__ = "lost_number"
    __table_args__ = (Index("ix_lost_number_asked_at", "asked_at"),)
    id: Mapped[str] = key()
    place_key: Mapped[str] = mapped_column(String(240))
    #: The first day of the month of closing.
    closed_in: Mapped[date]
    asked_at: Mapped[datetime]


class Recall(Base):
    """A product lot or a technician's certificate that was found bad, and what is to be told of it."""

    __tablename__ = "recall"
    id: Mapped[str] = key()
    number: Mapped[str] = mapped_column(String(30), unique=True)
    #: product lot or certificate.
    kind: Mapped[str] = mapped_column(String(20))
    value: Mapped[str] = mapped_column(String(120))
    value_key: Mapped[str] = mapped_column(String(120))
    since: Mapped[date | None]
    until: Mapped[date | None]
    found: Mapped[str] = mapped_column(Text)
    to_do: Mapped[str] = mapped_column(Text)
    made_by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[datetime]


class RecallRecord(Base):
    """A warranty that a recall concerns."""

    __tablename__ = "recall_record"
    recall_id: Mapped[str] = mapped_column(ForeignKey("recall.id"), primary_key=True)
    warranty_id: Mapped[str] = mapped_column(ForeignKey("warranty.id"), primary_key=True, index=True)
    warranty: Mapped[Warranty] = relationship()


class RecallLetter(Base):
    """A letter of a recall, as it was prepared: what a person reads is what leaves, and only by their press.

    To a holder (`warranty_id`) or to a builder (`company_id`), never to both. `state`: prepared, sent,
    left out.
    """

    __tablename__ = "recall_letter"
    __table_args__ = (Index("ix_recall_letter_recall_id_state", "recall_id", "state"),)
    id: Mapped[str] = key()
    recall_id: Mapped[str] = mapped_column(ForeignKey("recall.id"))
    warranty_id: Mapped[str | None] = mapped_column(ForeignKey("warranty.id"))
    company_id: Mapped[str | None] = mapped_column(ForeignKey("company.id"))
    holder_id: Mapped[str | None] = mapped_column(ForeignKey("holder.id"))
    name: Mapped[str] = mapped_column(String(200))
    email: Mapped[str] = mapped_column(String(254))
    subject: Mapped[str] = mapped_column(Text)
    text: Mapped[str] = mapped_column(Text)
    html: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(20))
    decided_by: Mapped[str] = mapped_column(String(200), default="")
    decided_at: Mapped[datetime | None]
