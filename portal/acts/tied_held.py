"""What was added to a house is held by whoever holds its warranty: from the first, and with each hand-on.

The warranty of an addition is one of its own, with its own number; who was named or asked at the house need
not be named again for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.acts.trail import note
from portal.acts.transferring import mail_holder_link
from portal.core.journey import state_on
from portal.store import holders, lots, warranties
from portal.store.transaction import Work

HOLDABLE = ("held", "in force")


def hold_with_house(parts: Parts, work: Work, who: Actor, made: Any, first_lot_id: str) -> None:
    """Give a new addition's warranty the holder of its house, where one is on record."""
    first = warranties.warranty_of(work, first_lot_id)
    holder = holders.holder_now(work, first.id) if first is not None else None
    if holder is not None:
        _hold(parts, work, who, made, holder)


def follow_house(parts: Parts, work: Work, who: Actor, warranty: Any, before: Any, holder: Any) -> None:
    """Hand on with a house's warranty those of what was added to it, as far as their terms let them: from the
    same holder, or from nobody."""
    for made in held_with(work, warranty, before):
        if state_on(made.state, made.ends_on, parts.today()) not in HOLDABLE:
            continue
        terms, had = warranty_document(made).terms.transfer, holders.holders(work, made.id)
        if had and terms is not None and terms.most is not None and len(had) > terms.most:
            continue  # by its own terms it goes no further
        lots.locked(work, made.lot_id)
        end_of(work, made, "handed on", holder.since)
        _hold(parts, work, who, made, holder)
        restage(work, lots.lot(work, made.lot_id))


def held_with(work: Work, warranty: Any, holder: Any) -> Iterator[Any]:
    """The warranties of what was added to a house that this holder of it, or nobody, holds."""
    for made in warranties.of_additions(work, warranty.lot_id):
        now = holders.holder_now(work, made.id)
        same = now is None or (holder is not None and (now.name, now.email) == (holder.name, holder.email))
        if same:
            yield made


def end_of(work: Work, made: Any, reason: str, day: date) -> Any:
    """End whoever holds an addition's warranty, and their link; answers who it was."""
    now = holders.holder_now(work, made.id)
    if now is not None:
        now.until, now.ended_reason, now.turn = max(day, now.since), reason, now.turn + 1
        work.session.flush()
    return now


def _hold(parts: Parts, work: Work, who: Actor, made: Any, holder: Any) -> None:
    # As at the house: a builder reads of those who were named, and of none who came after.
    new = holders.add_holder(
        work, made.id, name=holder.name, email=holder.email, phone=holder.phone,
        since=max(holder.since, warranties.treated_on(made)), how=holder.how, made_by=who.name,
    )  # fmt: skip
    note(work, who, "held with the house", made.number, made.lot_id)
    if new.email:
        mail_holder_link(parts, work, made, new)
