"""A warranty changes hands: from one owner of a house to the next, with those of what was added to it."""

from __future__ import annotations

from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.acts.renewal_told import offer_to_next
from portal.acts.tied_held import follow_house
from portal.acts.trail import mail, note
from portal.acts.transferring import mail_holder_link
from portal.core.errors import refuse
from portal.store import holders, lots, transfers
from portal.store.transaction import Work


def hand_on(parts: Parts, work: Work, who: Actor, warranty: Any, row: Any, phone: str = "") -> Any:
    """Make the buyer the holder: the one before ends, their link with them, and both are told."""
    before = transfers.holder(work, row.from_id)
    if before.until is not None:
        raise refuse("The warranty has another holder by now.")
    before.until, before.ended_reason, before.turn = row.closed_on, "handed on", before.turn + 1
    work.session.flush()
    holder = holders.add_holder(
        work, warranty.id, name=row.name, email=row.email, phone=phone, since=row.closed_on,
        how="transferred", made_by=who.name,
    )  # fmt: skip
    row.state, row.to_id, row.decided_at, row.decided_by = "accepted", holder.id, work.now, who.name
    note(work, who, "handed on", warranty.number, warranty.lot_id, day=row.closed_on.isoformat())
    said = warranty_document(warranty)
    mail(parts, work, "handed_on", before.email, warranty.lot_id, name=before.name, place=said.place,
         office=said.office, link="")  # fmt: skip
    mail_holder_link(parts, work, warranty, holder)
    offer_to_next(parts, work, warranty, holder)
    follow_house(parts, work, who, warranty, before, holder)
    restage(work, lots.locked(work, warranty.lot_id))
    return holder
