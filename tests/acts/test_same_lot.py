"""No lot is entered twice: not by the form, not by a list beside it, not at the same moment."""

from __future__ import annotations

from functools import partial
from typing import Any

import pytest

from portal.acts import asking, many, many_entered
from portal.acts.asking import LotAsked
from portal.core.errors import SameLot
from portal.store.tables import Lot
from tests.parts.at_once import at_once
from tests.parts.house import House

HERE = "Lot 77 at 7 A Street is here already."
PLACE = {"name": "Lot 77", "house_number": "7", "street": "A Street", "subdivision": "Quarry Bend"}
SHEET = (
    "Lot,Subdivision,Address,Town,State,ZIP code,Foundation,Exterior feet,Interior feet,Siding\r\n"
    "LOT 77,Quarry Bend,7 A Street,Marlow Ferry,IA,52999,slab,168,128,open\r\n"
)


def refused(house: House, **changes: Any) -> SameLot:
    with pytest.raises(SameLot) as caught:
        house.asked(**PLACE | changes)
    return caught.value


def change(house: House, lot_id: str, **changes: Any) -> None:
    asking.change(house.parts, house.builder, lot_id, house.version(lot_id), house.lot_asked(**changes))


def listed(house: House) -> dict[str, int]:
    found = many.read(house.parts, house.builder, "One lot", SHEET.encode(), house.key())
    if many.look(house.parts, house.builder, found).list.counts.get("good"):
        many_entered.enter(house.parts, house.builder, found)
        many_entered.go_on_with_all(house.parts)
    return dict(many.look(house.parts, house.builder, found).list.counts)


@pytest.mark.parametrize(
    "changes",
    [
        {}, {"name": "LOT  77"}, {"street": "a street."}, {"house_number": "7 "}, {"name": "lot-77"},
        {"foundation": "basement", "notes": "Another note."}, {"subdivision": "quarry bend"},
    ],
)  # fmt: skip
def test_the_same_lot_is_refused_whatever_is_written_differently(lite: House, changes: Any) -> None:
    lot = lite.asked(**PLACE)

    error = refused(lite, **changes)

    assert error.lot_id == lot and [one.at for one in error.problems] == ["name"]
    assert str(error.problems[0].says).startswith(HERE)
    assert lite.rows(Lot) == 1


@pytest.mark.parametrize(
    "changes", [{"name": "Lot 77 garage"}, {"house_number": "9"}, {"subdivision": ""}, {"town": "Osier"}]
)
def test_another_name_or_place_is_another_lot(lite: House, changes: Any) -> None:
    lite.asked(**PLACE)
    lite.asked(**PLACE | changes)
    assert lite.rows(Lot) == 2


def test_another_builders_lot_is_not_told_of(lite: House) -> None:
    lite.asked(**PLACE)
    lite.asked(lite.rival, **PLACE)
    assert lite.rows(Lot) == 2


def test_a_form_sent_twice_is_one_lot_and_no_refusal(lite: House) -> None:
    asked: LotAsked = lite.lot_asked(**PLACE)
    first, second = (asking.ask(lite.parts, lite.builder, asked, "a-key") for _ in range(2))
    assert first == second


def test_what_a_list_entered_the_form_finds_and_what_the_form_entered_a_list_finds(lite: House) -> None:
    assert listed(lite) == {"entered": 1}
    refused(lite)
    lite.asked(**PLACE | {"name": "Lot 78"})
    assert listed(lite) == {"before": 1}
    assert lite.rows(Lot) == 2


def test_no_lot_is_changed_into_one_that_is_here(lite: House) -> None:
    lot, other = lite.asked(**PLACE), lite.asked()
    with pytest.raises(SameLot):
        change(lite, other, **PLACE)
    change(lite, lot, **PLACE | {"notes": "It may stay what it is."})
    change(lite, lot, **PLACE | {"name": "Lot 78"})
    change(lite, other, **PLACE)  # the place is free again
    assert lite.sheet(other).place.lot == "Lot 77"


def test_two_forms_and_a_list_at_the_same_moment_enter_one_lot(house: House) -> None:
    def ask() -> str:
        try:
            return house.asked(**PLACE)
        except SameLot:
            return "refused"

    at_once(ask, ask, partial(listed, house))

    assert house.rows(Lot) == 1
