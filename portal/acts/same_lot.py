"""Whether a lot is here already: the same name and address, however it was entered. None is entered twice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from portal.core.errors import Problem, SameLot
from portal.core.sheets.identity import identity
from portal.core.words import say
from portal.store import doors, lists
from portal.store.transaction import Work

#: The door through which a builder's lots come in, from the asking page and from lists: one at a time.
DOOR = "many"
TEXTS = ("subdivision", "house_number", "street", "town", "state", "postal_code")


def hold_door(work: Work, company_id: str) -> None:
    """Let no other lot of this builder's in until the transaction ends: two would both find none there."""
    doors.hold(work, DOOR, company_id)


def refuse_same(work: Work, company_id: str, asked: Any, lot: Any = None) -> None:
    """Whether what is asked is the place of a lot that is here. Raises `SameLot`.

    `lot` is the one that is changed; as long as it stays where it is, nothing is refused.
    """
    wanted = identity(_place(asked))
    if lot is not None and wanted == identity(_place_now(lot)):
        return
    hold_door(work, company_id)
    near = lists.places(work, company_id, [asked.house_number], [asked.name])
    found = next((one for one in near if identity(one) == wanted), None)
    if found is not None:
        raise SameLot(found["id"], [Problem("name", say(
            "{lot} at {house_number} {street} is here already. If this is another building on the same lot, "
            "name it apart, such as {lot} garage.",
            lot=found["lot"], house_number=found["house_number"], street=found["street"],
        ))])  # fmt: skip


def _place(asked: Any) -> Mapping[str, str]:
    return {"lot": asked.name} | {key: getattr(asked, key) for key in TEXTS}


def _place_now(lot: Any) -> Mapping[str, str]:
    place = {key: getattr(lot, key) for key in TEXTS if key != "subdivision"}
    return place | {"lot": lot.name, "subdivision": lot.subdivision.name if lot.subdivision else ""}
