"""Finds what is kept of a person, and what of it is over; blanks it."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import CursorResult, Select, delete, func, or_, select, update

from portal.store.tables import (
    Addition,
    Company,
    Consent,
    History,
    Holder,
    Invoice,
    Letter,
    Person,
    PurchaserLink,
    RecallLetter,
    Renewal,
    SignIn,
    Transfer,
    Trouble,
    TroubleStep,
)
from portal.store.transaction import Work

#: What is done in one transaction: a worker behind by years is through in a few days.
AT_ONCE = 200
BLANK = {"name": "", "email": "", "phone": ""}


def former_holders(work: Work, before: date) -> list[tuple[str, str]]:
    """Holders whose time ended before a day and who are still named, with their warranties: by id."""
    query = select(Holder.id, Holder.warranty_id).where(Holder.until < before, Holder.removed_at.is_(None))
    return [
        (row[0], row[1])
        for row in work.session.execute(query.order_by(Holder.until, Holder.id).limit(AT_ONCE))
    ]


def invoices_of_holder(work: Work, holder_id: str) -> list[Invoice]:
    """What was billed to a holder's own account."""
    query = select(Invoice).join(Company, Company.id == Invoice.company_id)
    return list(work.session.scalars(query.where(Company.holder_id == holder_id).order_by(Invoice.number)))


def blank_holder(work: Work, row: Holder) -> None:
    """Take a holder's name and addresses out, wherever they were kept for their sake."""
    row.name = row.email = row.phone = ""
    row.removed_at = work.now
    work.session.execute(update(Renewal).where(Renewal.holder_id == row.id).values(answered_by=""))
    work.session.execute(
        update(Transfer).where(Transfer.to_id == row.id)
        .values(name="", email="", evidence_name="", evidence="", evidence_sha256="")
    )  # fmt: skip
    account = work.session.scalar(select(Company).where(Company.holder_id == row.id))
    if account is not None:
        account.email = account.phone = ""


def blank_over(work: Work, before: datetime) -> int:
    """Blank names and addresses whose purpose is over by then; answers of how many rows."""
    over: list[Any] = [
        update(Transfer).where(Transfer.state.in_(("declined", "withdrawn")), Transfer.decided_at < before,
                               Transfer.email != "")
        .values(name="", email="", evidence="", evidence_name="", evidence_sha256=""),
        update(Addition).where(Addition.state != "asked", Addition.decided_at < before, Addition.email != "")
        .values(BLANK),
        update(RecallLetter).where(RecallLetter.state != "prepared", RecallLetter.decided_at < before,
                                   RecallLetter.email != "")
        .values(name="", email="", subject="", text="", html=""),
        update(Person).where(Person.left_at < before,
                             or_(Person.left_email != "", Person.phone != ""))
        .values(left_email="", phone=""),
    ]  # fmt: skip
    found = sum(_changed(work, one) for one in over)
    return found + _blank_closed(work, before) + _drop_letters(work, before)


def _blank_closed(work: Work, before: datetime) -> int:
    closed = select(TroubleStep.trouble_id).where(TroubleStep.kind == "closed", TroubleStep.at < before)
    query = update(Trouble).where(Trouble.state == "closed", Trouble.email != "", Trouble.id.in_(closed))
    return _changed(work, query.values(BLANK))


def _drop_letters(work: Work, before: datetime) -> int:
    return _changed(work, delete(Letter).where(Letter.sent_at < before))


def _changed(work: Work, statement: Any) -> int:
    done = work.session.execute(statement)
    assert isinstance(done, CursorResult)
    return done.rowcount


def letters_to(work: Work, email: str) -> list[Letter]:
    """The letters to an address that are still kept."""
    query = select(Letter).where(func.lower(Letter.to) == email.lower())
    return list(work.session.scalars(query.order_by(Letter.written_at, Letter.id))) if email else []


def reports_by(work: Work, email: str, warranty_id: str = "") -> list[Trouble]:
    """Reports of trouble by whoever has this address: at one house, or at all."""
    query = _by(Trouble, email).order_by(Trouble.made_at)
    query = query.where(Trouble.warranty_id == warranty_id) if warranty_id else query
    return list(work.session.scalars(query)) if email else []


def additions_by(work: Work, email: str, warranty_id: str = "") -> list[Addition]:
    """Additions that whoever has this address asked for: to one house, or to all."""
    query = _by(Addition, email).order_by(Addition.made_at)
    query = query.where(Addition.warranty_id == warranty_id) if warranty_id else query
    return list(work.session.scalars(query)) if email else []


def _by(table: Any, email: str) -> Select[Any]:
    query: Select[Any] = select(table).where(func.lower(table.email) == email.lower())
    return query


def holders_by(work: Work, email: str) -> list[Holder]:
    """Holders of this address, of whatever warranty, now or before."""
    return list(work.session.scalars(_by(Holder, email).order_by(Holder.made_at)))


def transfers_to(work: Work, email: str) -> list[Transfer]:
    """Transfers to somebody of this address, however they ended."""
    return list(work.session.scalars(_by(Transfer, email).order_by(Transfer.asked_at)))


def persons_by(work: Work, email: str) -> list[Person]:
    """Who signs in by this address, or did before they left."""
    known = or_(func.lower(Person.email) == email.lower(), func.lower(Person.left_email) == email.lower())
    return list(work.session.scalars(select(Person).where(known).order_by(Person.created_at)))


def companies_by(work: Work, email: str) -> list[Company]:
    """Builders' companies and owners' accounts of this address."""
    return list(work.session.scalars(_by(Company, email).order_by(Company.name)))


def purchaser_links_to(work: Work, email: str) -> list[PurchaserLink]:
    """Links to answer a quote by that were mailed to this address."""
    return list(work.session.scalars(_by(PurchaserLink, email).order_by(PurchaserLink.made_at)))


def consents_of(work: Work, email: str) -> list[Consent]:
    """What somebody of this address said yes to."""
    return list(work.session.scalars(_by(Consent, email).order_by(Consent.given_at)))


def recall_letters_to(work: Work, email: str) -> list[RecallLetter]:
    """Letters of recalls that were prepared for this address."""
    return list(work.session.scalars(_by(RecallLetter, email).order_by(RecallLetter.id)))


def renewals_of(work: Work, holder_id: str) -> list[Renewal]:
    """Renewals that were offered to a holder."""
    query = select(Renewal).where(Renewal.holder_id == holder_id)
    return list(work.session.scalars(query.order_by(Renewal.offered_at)))


def transfers_of(work: Work, holder_id: str) -> list[Transfer]:
    """Transfers from or to a holder."""
    query = select(Transfer).where(or_(Transfer.from_id == holder_id, Transfer.to_id == holder_id))
    return list(work.session.scalars(query.order_by(Transfer.asked_at)))


def sign_ins_of(work: Work, person_id: str) -> list[SignIn]:
    """A person's open sign-ins."""
    return list(work.session.scalars(select(SignIn).where(SignIn.person_id == person_id)))


def done_by(work: Work, person_id: str) -> list[History]:
    """What a person did, as the history has it."""
    query = select(History).where(History.person_id == person_id)
    return list(work.session.scalars(query.order_by(History.seq)))
