"""Finds and adds the yeses to a revision, and the links mailed to purchasers."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal

from sqlalchemy import bindparam, select

from portal.core.errors import NotFound
from portal.store.tables import Consent, PurchaserLink, Revision
from portal.store.transaction import Work

_CONSENTS = (
    select(Consent)
    .where(Consent.revision_id == bindparam("revision_id"), Consent.taken_back_at.is_(None))
    .order_by(Consent.given_at, Consent.id)
)


def consents(work: Work, revision_id: str) -> list[Consent]:
    """The yeses to a revision that were not taken back, in the order they were given."""
    return list(work.session.scalars(_CONSENTS, {"revision_id": revision_id}))


def first_consents(work: Work, revision_ids: Collection[str]) -> dict[str, Consent]:
    """By revision, the yes that was given first to each of these, where one was."""
    query = (
        select(Consent)
        .where(Consent.revision_id.in_(revision_ids), Consent.taken_back_at.is_(None))
        .order_by(Consent.given_at.desc(), Consent.id.desc())
    )
    return {row.revision_id: row for row in work.session.scalars(query)}


def add_consent(
    work: Work, revision: Revision, *, name: str, email: str, person_id: str | None, link_id: str | None,
    purchase_order: str, amount: Decimal, over: Decimal | None,
) -> Consent:  # fmt: skip
    """Keep a yes to exactly this revision."""
    row = Consent(
        id=work.new_id(), revision_id=revision.id, name=name, email=email, person_id=person_id,
        link_id=link_id, fingerprint=revision.fingerprint or "", purchase_order=purchase_order,
        amount=amount, over=over, given_at=work.now, taken_back_by="",
    )  # fmt: skip
    work.add(row)
    return row


def add_link(
    work: Work, revision: Revision, *, token_hash: str, lot_id: str, name: str, email: str, made_by: str,
    made_by_id: str, expires_on: date,
) -> PurchaserLink:  # fmt: skip
    """A new link, out."""
    row = PurchaserLink(
        id=work.new_id(), token_hash=token_hash, lot_id=lot_id, revision_id=revision.id, name=name,
        email=email, made_by=made_by, made_by_id=made_by_id, made_at=work.now, expires_on=expires_on,
        withdrawn_by="", answer="", answered_name="", purchase_order="", reason="",
    )  # fmt: skip
    work.add(row)
    return row


_LINK = select(PurchaserLink).where(PurchaserLink.token_hash == bindparam("token_hash"))


def link_by_hash(work: Work, token_hash: str) -> PurchaserLink | None:
    """The link whose token has this hash."""
    return work.session.scalar(_LINK, {"token_hash": token_hash})


def link(work: Work, lot_id: str, link_id: str) -> PurchaserLink:
    """A link of this lot. Raises `NotFound` where it is none, or another lot's."""
    found = work.session.get(PurchaserLink, link_id)
    if found is None or found.lot_id != lot_id:
        raise NotFound("link", link_id)
    return found


_LINKS = (
    select(PurchaserLink)
    .where(PurchaserLink.lot_id == bindparam("lot_id"))
    .order_by(PurchaserLink.made_at.desc(), PurchaserLink.id)
)


def links(work: Work, lot_id: str) -> list[PurchaserLink]:
    """All links of a lot's quote, newest first."""
    return list(work.session.scalars(_LINKS, {"lot_id": lot_id}))


def link_of(work: Work, link_id: str) -> PurchaserLink:
    """A link by its id. Raises `NotFound`."""
    found = work.session.get(PurchaserLink, link_id)
    if found is None:
        raise NotFound("link", link_id)
    return found


def fresh_link(work: Work, link_id: str) -> PurchaserLink:
    """The same, read again with its revision: for whoever has waited for its lot."""
    query = select(PurchaserLink).where(PurchaserLink.id == link_id)
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("link", link_id)
    return found
