"""Lots treated with a product lot of one's choice, and their first owners."""

from __future__ import annotations

from typing import Any

from portal.acts.holding import HolderTyped, name_first_owner
from portal.acts.parts import Actor
from tests.parts.house import House


def treated_with(house: House, name: str, container: str, by: Actor | None = None, **changes: Any) -> str:
    """A lot treated at six in the evening of today. Its own builder asked and accepted."""
    by = by or house.builder
    lot = house.sent(house.approved(house.to_check(house.asked(by, name=name, **changes))))
    house.accept(lot, by)
    house.booked(lot)
    house.clock.turn_to(house.parts.today(), 18)
    house.mark(lot, house.entry(lot, container_lot=container))
    return lot


def owned(house: House, lot: str, name: str = "Ada Roe", email: str = "ada@example.org") -> str:
    """The lot, closed today."""
    typed = HolderTyped(name, email, "", house.parts.today())
    name_first_owner(house.parts, house.office, lot, typed, house.key())
    return lot
