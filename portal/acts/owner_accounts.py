"""The account of a warranty's holder: who is billed for what an owner of a treated house orders."""

from __future__ import annotations

from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.parts import Actor
from portal.acts.trail import note
from portal.core.naming import account_name
from portal.store import people
from portal.store.transaction import Work


def account_of(work: Work, who: Actor, warranty: Any, holder: Any) -> Any:
    """The one account of a holder, made where there is none yet; nobody signs in to it.

    Named by the holder and the warranty's number: two people of one name are two accounts. How the holder
    is reached is kept as it is now.
    """
    kept = people.account_of_holder(work, holder.id)
    if kept is None:
        place = warranty_document(warranty).place
        kept = people.add_company(
            work, name=account_name(holder.name, warranty.number), phone=holder.phone, email=holder.email,
            address=f"{place.address}\n{place.city_line}", holder_id=holder.id,
        )  # fmt: skip
        # Not whom: the history is kept for good, a homeowner's name is not.
        note(work, who, "owner account", warranty.number, warranty.lot_id)
    kept.phone, kept.email = holder.phone, holder.email
    work.session.flush()
    return kept
