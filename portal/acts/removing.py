"""What is kept of people goes: by itself once its time is over, or on request once nothing requires it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from portal.acts.editions import forget_days, in_force
from portal.acts.holder_page import holder_of
from portal.acts.parts import SYSTEM, Actor, Parts, must_be
from portal.acts.tied_held import end_of, held_with
from portal.acts.trail import note
from portal.acts.transferring import HOLDER, held
from portal.core.errors import NotFound, refuse
from portal.core.journey import OWING
from portal.core.privacy.kept import KEPT, Kept
from portal.core.words import Said
from portal.store import holders, lots, privacy, renewals, transfers, warranties
from portal.store.transaction import Work


def kept(parts: Parts) -> tuple[Kept, ...]:
    """What is kept of people, why, and until when by the office's days."""
    with parts.store.reading() as work:
        days = forget_days(in_force(work, parts.today()).firm.document)
    return tuple(replace(one, until=Said(one.until.template, {"days": days})) for one in KEPT)


def remove_due(parts: Parts) -> int:
    """Remove what is over; answers of how many rows. The worker calls this once a day."""
    with parts.store.reading() as work:
        days = forget_days(in_force(work, parts.today()).firm.document)
        found = privacy.former_holders(work, parts.today() - timedelta(days=days))
    gone = sum(_former(parts, *one) for one in found)
    with parts.store.writing() as work:
        return gone + privacy.blank_over(work, work.now - timedelta(days=days))


def _former(parts: Parts, holder_id: str, warranty_id: str) -> bool:
    with parts.store.writing() as work:
        warranty = held(work, warranty_id)
        holder = transfers.holder(work, holder_id)
        if holder.removed_at is not None or _requires(work, holder) is not None:
            return False
        _remove(work, SYSTEM, warranty, holder)
        return True


def _requires(work: Work, holder: Any) -> str | None:
    """What still needs the name of somebody: a paper of theirs that is not settled."""
    owing = [row.number for row in privacy.invoices_of_holder(work, holder.id) if row.state in OWING]
    return owing[0] if owing else None


def _remove(work: Work, who: Actor, warranty: Any, holder: Any) -> None:
    privacy.blank_holder(work, holder)
    # Not whom: that is what is removed. The chain of the history stays whole.
    note(work, who, "person removed", warranty.number, warranty.lot_id)


def leave(parts: Parts, token: str) -> None:
    """A holder asks to be taken off: their name and addresses go at once, the warranty stays with the house.

    It is found by its number from then on, and can be taken over again by whoever the office names. So it is
    with what was added to the house, as far as it is theirs too.
    """
    with parts.store.reading() as work:
        warranty_id = holder_of(parts, work, token).warranty_id
    with parts.store.writing() as work:
        warranty = held(work, warranty_id)
        holder = holder_of(parts, work, token)
        _must_not_be_required(work, warranty, holder)
        added = list(held_with(work, warranty, holder))
        for made in added:
            own = holders.holder_now(work, made.id)
            if own is not None:
                lots.locked(work, made.lot_id)
                _must_not_be_required(work, made, own)
        for one in (warranty, *added):
            own = end_of(work, one, "asked to be taken off", parts.today())
            if own is not None:
                _remove(work, HOLDER, one, own)


def _must_not_be_required(work: Work, warranty: Any, holder: Any) -> None:
    number = _requires(work, holder)
    if number is not None:
        raise refuse("Invoice {number} is still open. Once it is settled this can be done.", number=number)
    if holder.until is None and transfers.waiting(work, warranty.id) is not None:
        raise refuse("The warranty is being handed on. Take that back, or wait for the answer.")
    row = renewals.open_of(work, warranty.id) if holder.until is None else None
    if row is not None and row.state != "offered":
        raise refuse("A renewal is under way. Once it is done this can be done.")


def remove_holder(parts: Parts, who: Actor, lot_id: str, holder_id: str) -> None:
    """The office takes out what is kept of a holder of before, on their request."""
    must_be(who, "office")
    with parts.store.writing() as work:
        found = warranties.warranty_of(work, lot_id)
        holder = transfers.holder(work, holder_id)
        if found is None or holder.warranty_id != found.id:
            raise NotFound("holder", holder_id)
        warranty = held(work, found.id)
        holder = transfers.holder(work, holder_id)
        if holder.until is None:
            raise refuse("They hold the warranty now: they are taken off through their own page.")
        if holder.removed_at is not None:
            raise refuse("What was kept of them is removed already.")
        _must_not_be_required(work, warranty, holder)
        _remove(work, who, warranty, holder)
