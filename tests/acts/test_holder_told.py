"""Whoever holds a warranty is told when its state changes: in force, void, expired."""

from __future__ import annotations

from datetime import timedelta

import pytest

from portal.acts import covering, renewing
from portal.store.tables import Letter
from tests.acts.test_renewing import ADA, ends, in_force, near_its_end, promise
from tests.parts.house import House
from tests.parts.warranties import owned

pytestmark = pytest.mark.slow


def letter(house: House, kind: str) -> Letter:
    """The one letter of a kind to the owner."""
    with house.parts.store.reading() as work:
        return work.session.query(Letter).filter_by(subject=kind, to=ADA).one()


def test_an_owner_named_while_it_is_held_is_told_once_it_is_in_force(house: House) -> None:
    lot = owned(house, house.treated())
    assert ("holder_in_force", ADA) not in house.letters()

    house.pay(lot, str(house.open_of(lot)))

    assert house.warranty(lot).number in letter(house, "holder_in_force").text


def test_holder_and_builder_read_why_it_is_void(house: House) -> None:
    lot = owned(house, house.paid())

    covering.make_void(house.parts, house.owner, lot, "A wall was cut out.")

    told = letter(house, "made_void")
    assert "A wall was cut out." in told.text and house.warranty(lot).link in told.text
    assert [to for kind, to in house.letters() if kind == "made_void"].count(ADA) == 1
    assert ("made_void", house.builder.email) in house.letters()


def test_the_last_day_is_told_when_it_is_over(house: House) -> None:
    promise(house, {"years": 10})
    lot = owned(house, house.paid())
    house.clock.turn_to(ends(house, lot) + timedelta(days=1))

    assert (covering.expire(house.parts), covering.expire(house.parts)) == (1, 0)

    assert "/warranty/renew/" not in letter(house, "expired").text


def test_what_can_still_be_renewed_is_said_with_the_link(house: House) -> None:
    lot = in_force(house)
    near_its_end(house, lot)
    renewing.offer_renewals(house.parts)
    house.clock.turn_to(ends(house, lot) + timedelta(days=1))
    covering.expire(house.parts)

    told = letter(house, "expired").text
    token = told.partition("/warranty/renew/")[2].split()[0]
    assert renewing.look(house.parts, token).to_take_up
