"""A purchaser's link, as the purchaser has it: out of the letter that carries it."""

from __future__ import annotations

from datetime import date

from portal.acts import purchasing
from portal.acts.parts import Actor
from portal.store.tables import Letter, PurchaserLink
from tests.parts.house import House

PIA = "pia@purchaser.example.org"


def mailed(
    house: House, lot: str, by: Actor | None = None, email: str = PIA, *, name: str = "Pia Holm",
    until: date | None = None, number: int = 0,
) -> str:  # fmt: skip
    """Mail a link to a lot's newest revision; its token, out of the letter."""
    number = number or house.sheet(lot).revisions[0].number
    purchasing.mail_link(house.parts, by or house.builder, lot, number, name, email, until, house.key())
    return token_of(house, lot, email)


def token_of(house: House, lot: str, email: str = PIA) -> str:
    """The token of the link to this address that was not withdrawn; the house itself keeps only its hash."""
    with house.parts.store.reading() as work:
        texts = [row.text for row in work.session.query(Letter).filter_by(to=email, lot_id=lot)]
        found = work.session.query(PurchaserLink).filter_by(lot_id=lot, email=email, withdrawn_at=None)
        kept = {row.token_hash for row in found}
    tokens = [text.partition("/quote/")[2].split()[0] for text in texts if "/quote/" in text]
    assert not kept & set(tokens)
    return next(token for token in reversed(tokens) if purchasing.hashed(token) in kept)


def link_id(house: House, lot: str) -> str:
    """The id of the lot's one link."""
    with house.parts.store.reading() as work:
        return str(work.session.query(PurchaserLink).filter_by(lot_id=lot).one().id)
