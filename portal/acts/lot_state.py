"""Which lot a person may have, and how far it has come."""

from __future__ import annotations

from datetime import date
from typing import Any

from portal.acts.parts import Actor, has
from portal.core.documents import Builder, Place
from portal.core.errors import NotFound, Overtaken
from portal.core.history import VERBS
from portal.core.journey import money_apart, stage_of, state_on
from portal.store import files, lots, quotes, trail, warranties
from portal.store.transaction import Work


def lot_for(work: Work, who: Actor, lot_id: str) -> Any:
    """The lot, where it is this person's to see. Another builder's lot is not there at all."""
    return if_own(who, lots.lot(work, lot_id))


def if_own(who: Actor, lot: Any) -> Any:
    """The lot, where it is this person's. Raises `NotFound`."""
    if who.kind in ("office", "system") or (who.kind == "builder" and who.company_id == lot.company_id):
        return lot
    raise NotFound("lot", lot.id)


def lot_to_change(work: Work, who: Actor, lot_id: str, version: int | None = None) -> Any:
    """The lot, held against other writers. Raises `Overtaken` where it changed since `version` was read."""
    lot = if_own(who, lots.locked(work, lot_id))
    if version is not None and lot.version != version:
        lines = trail.history_of(work, lot_id, limit=1)
        raise Overtaken("lot", lines[0].by, VERBS[lines[0].verb]) if lines else Overtaken("lot")
    return lot


def speaking_revision(work: Work, lot_id: str) -> Any:
    """The revision that says how far the quote has come: the accepted one, else the newest."""
    quote = quotes.quote_of(work, lot_id)
    if quote is None:
        return None
    revisions = quotes.revisions(work, quote.id)
    return next((r for r in revisions if r.state == "accepted"), revisions[0] if revisions else None)


def restage(work: Work, lot: Any) -> None:
    """Derive the lot's stage anew, and mark it changed: called at the end of every act on a lot."""
    stands = files.standing(work, lot.id)
    lot.stage = stage_of(stands.quote, stands.job, stands.invoice, stands.warranty)
    lot.holds_until = {"sent": stands.expires_on, "in force": stands.ends_on}.get(lot.stage)
    price = stands.billed if stands.billed is not None else stands.offered
    if price is not None:
        lot.price = str(price)
    lots.touch(work, lot)


def stage_for(who: Actor, lot: Any, today: date) -> str:
    """The lot's stage as of today, as this person may know it."""
    stage = state_on(lot.stage, lot.holds_until, today)
    return stage if has(who, "money") else money_apart(stage)


def place_of(lot: Any) -> Place:
    """The lot's place, as papers print it."""
    return Place(
        lot=lot.name, subdivision=lot.subdivision.name if lot.subdivision else "",
        house_number=lot.house_number,
        street=lot.street, town=lot.town, state=lot.state, postal_code=lot.postal_code,
        foundation=lot.foundation,
    )  # fmt: skip


def builder_of(lot: Any, asked_by: str) -> Builder:
    """The lot's builder, as papers print it."""
    company = lot.company
    return Builder(
        company=company.name, address=tuple(line for line in company.address.splitlines() if line.strip()),
        phone=company.phone, email=company.email, asked_by=asked_by,
    )  # fmt: skip


def lot_name(lot: Any) -> str:
    """A lot as a letter names it: Lot 7, 112 Alder Lane."""
    return f"{lot.name}, {lot.house_number} {lot.street}"


def number_under(work: Work, lot: Any) -> str:
    """The number of the warranty that a tied lot came to be under."""
    first = warranties.warranty_of(work, lot.of_lot_id)
    assert first is not None, "a lot is tied to one that has a warranty"
    return first.number
