"""The first owner: named once, by the builder of the lot or by the office, with the day of closing."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial

import pytest

from portal.acts import holding
from portal.acts.holding import HolderRow, HolderTyped
from portal.acts.parts import Actor
from portal.core.errors import NotFound
from portal.store.tables import Holder
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

CLOSED = date(2027, 7, 9)


def typed(**changes: object) -> HolderTyped:
    given = {"name": "Ada Roe", "email": "ada@example.org", "phone": "555-0144", "since": CLOSED} | changes
    return HolderTyped(**given)  # type: ignore[arg-type]


def name(house: House, lot: str, by: Actor | None = None, key: str = "", **changes: object) -> None:
    holding.name_first_owner(house.parts, by or house.builder, lot, typed(**changes), key or house.key())


def test_the_builder_names_the_first_owner_with_the_day_of_closing(house: House) -> None:
    lot = house.treated()
    house.clock.turn_to(CLOSED)

    name(house, lot)

    found = holding.holders_of(house.parts, house.office, lot)
    assert found == (
        HolderRow("Ada Roe", "ada@example.org", "555-0144", CLOSED, None, "named", "Harriet Finch"),
    )
    assert house.verbs(lot)[-1] == "owner named"


def test_nothing_of_the_owner_stands_in_the_history_that_is_kept_for_good(lite: House) -> None:
    from portal.store.tables import History

    lot = lite.treated()
    lite.clock.turn_to(CLOSED)
    name(lite, lot)

    with lite.parts.store.reading() as work:
        lines = [f"{line.subject} {line.details}" for line in work.session.query(History)]
    assert not [line for line in lines if "Ada" in line or "ada@" in line or "0144" in line]


def test_the_office_names_one_without_a_mail_address(lite: House) -> None:
    lot = lite.treated()
    lite.clock.turn_to(CLOSED)

    name(lite, lot, by=lite.office, email="", phone="")

    assert [row.email for row in holding.holders_of(lite.parts, lite.builder, lot)] == [""]


def test_a_first_owner_is_named_once(house: House) -> None:
    lot = house.treated()
    house.clock.turn_to(CLOSED)
    name(house, lot, key="k")
    name(house, lot, key="k")  # sent twice

    assert refusal(lambda: name(house, lot)) == (
        "The first owner is named already. From owner to owner it goes by a transfer."
    )
    assert house.rows(Holder) == 1


def test_two_who_name_one_at_once_name_one(house: House) -> None:
    lot = house.treated()
    house.clock.turn_to(CLOSED)

    answers = at_once(*(partial(name, house, lot, by=by) for by in (house.builder, house.office)))

    assert sorted(type(answer).__name__ for answer in answers) == ["NoneType", "Refused"]
    assert house.rows(Holder) == 1


@pytest.mark.parametrize(
    ("changes", "at", "says"),
    [
        ({"name": " "}, "name", "Name the owner: a warranty has one holder at a time."),
        ({"email": "ada at home"}, "email", "“ada at home” is no mail address."),
        ({"since": None}, "since", "Enter the day of closing."),
        ({"since": CLOSED + timedelta(days=1)}, "since", "is still to come"),
        ({"since": date(2027, 5, 3)}, "since", "it cannot have closed before"),
        ({"phone": "5" * 41}, "phone", "At most 40 characters, please."),
    ],
)
def test_what_cannot_be_an_owner_is_told_beside_its_field(
    lite: House, changes: dict[str, object], at: str, says: str
) -> None:
    lot = lite.treated()
    lite.clock.turn_to(CLOSED)

    found = problems(lambda: name(lite, lot, **changes))

    assert list(found) == [at] and says in found[at]


def test_before_there_is_a_warranty_and_after_it_is_void_there_is_no_owner(lite: House) -> None:
    from portal.acts import covering

    lot = lite.booked()
    assert "the lot is not treated" in refusal(lambda: name(lite, lot))
    lite.treated(lot)
    covering.make_void(lite.parts, lite.owner, lot, "Cut through.")
    lite.clock.turn_to(CLOSED)
    assert "void" in refusal(lambda: name(lite, lot))


def test_another_builder_neither_names_nor_sees_one(lite: House) -> None:
    lot = lite.treated()
    with pytest.raises(NotFound):
        name(lite, lot, by=lite.rival)
    with pytest.raises(NotFound):
        holding.holders_of(lite.parts, lite.rival, lot)
