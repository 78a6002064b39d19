"""A lot that is tied to another: what is treated again under its warranty, or was added to its house."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from portal.acts.estimating import figures_today
from portal.acts.owner_accounts import account_of
from portal.acts.parts import Actor, Parts
from portal.acts.siting import Sites
from portal.acts.trail import note
from portal.store import holders, lots
from portal.store.tables import Lot
from portal.store.transaction import Work

#: Of a lot's place, what a lot tied to it shares.
PLACE = ("house_number", "street", "town", "state", "postal_code", "foundation")


def payer_of(work: Work, who: Actor, warranty: Any, lot: Any) -> Any:
    """Whose a tied lot is: the holder's own account, or the builder's while no holder is named."""
    holder = holders.holder_now(work, warranty.id)
    return account_of(work, who, warranty, holder) if holder is not None else lot.company


def tie(parts: Parts, work: Work, who: Actor, first: Any, company: Any, kind: str, number: str) -> Any:
    """Make a lot of this kind tied to the first, which is held; its takeoff begins as the first's.

    It is named by the first and the number of what asked for it. In the builder's subdivision it is only
    where it is the builder's; elsewhere it keeps how far that is. Answers the lot, asked for.
    """
    assert who.person_id is not None
    own = first.company_id == company.id
    subdivision = first.subdivision if own else None
    miles = first.miles or (first.subdivision.miles if first.subdivision and not own else "")
    site = Sites(work, company.id, parts.today()).asked(
        first.foundation, subdivision.name if subdivision else "", first.state, first.town
    )
    if subdivision is None and miles:
        site = replace(site, miles=Fraction(miles))
    house = lots.newest_takeoff(work, first.id).house
    worked = figures_today(parts, work, house, site)
    lot_id = work.new_id()
    lot = Lot(
        id=lot_id, company_id=company.id, kind=kind, of_lot_id=first.id, name=f"{first.name}, {number}",
        subdivision_id=subdivision.id if subdivision else None, miles=miles, created_by=who.person_id,
        created_at=work.now, changed_at=lots.moment_of(work, lot_id), stage="asked", version=1, notes="",
        feet=worked.answer["feet"]["total"], price=worked.answer["price"]["total"],
        **{field: getattr(first, field) for field in PLACE},
    )  # fmt: skip
    work.add(lot)
    lots.add_takeoff(work, lot.id, house, worked.answer, who.name)
    note(work, who, "tied", lot.name, lot.id, kind=kind)
    work.session.flush()
    work.session.refresh(lot)
    return lot
