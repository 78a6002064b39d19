"""A lost number goes to the holder on record, and whoever asks learns nothing."""

from __future__ import annotations

from datetime import date
from functools import partial

import pytest

from portal.acts import losing
from portal.acts.holding import HolderTyped, name_first_owner
from portal.acts.losing import LostTyped
from portal.core.errors import TooManyTries
from portal.store.tables import Letter, LostNumber
from tests.parts.at_once import at_once
from tests.parts.counting import counted
from tests.parts.house import House
from tests.parts.refusals import problems

pytestmark = pytest.mark.slow

CLOSED = date(2027, 7, 9)
ASKED = {
    "house_number": "112", "street": "N Ferry Oak Ct", "postal_code": "52999", "closed_in": "July 2027",
}  # fmt: skip
HERE = "203.0.113.7"  # TEST-NET-3, RFC 5737


@pytest.fixture
def owned(lite: House) -> House:
    """A house with a warranty for 112 North Ferry Oak Court, whose owner closed in July 2027."""
    return own(lite)


def own(house: House, email: str = "ada@example.org") -> House:
    lot = house.paid(house_number="112", street="North Ferry Oak Court", postal_code="52999")
    house.clock.turn_to(CLOSED)
    owner = HolderTyped("Ada Roe", email, "", CLOSED)
    name_first_owner(house.parts, house.builder, lot, owner, house.key())
    return house


def ask(house: House, address: str = HERE, **changes: str) -> None:
    typed = {
        "house_number": "112",
        "street": "N Ferry Oak Ct",
        "postal_code": "52999",
        "closed_in": "July 2027",
    }
    losing.ask_lost_number(house.parts, LostTyped(**typed | changes), address)


def mailed(house: House) -> list[tuple[str, str]]:
    with house.parts.store.reading() as work:
        return [(row.to, row.text) for row in work.session.query(Letter).filter_by(subject="lost_number")]


def test_it_goes_to_the_holder_on_record_and_to_nobody_else(house: House) -> None:
    own(house)
    number = house.sheet(next(iter(_lots(house)))).warranty.number  # type: ignore[union-attr]

    ask(house)
    assert mailed(house) == []  # looked up by the worker, not by whoever asks
    assert losing.answer_lost_numbers(house.parts) == 1

    [(to, text)] = mailed(house)
    assert to == "ada@example.org" and f"number: {number}" in text
    assert house.rows(LostNumber) == 0
    assert losing.answer_lost_numbers(house.parts) == 0


def _lots(house: House) -> list[str]:
    from portal.store.tables import Lot

    with house.parts.store.reading() as work:
        return [row.id for row in work.session.query(Lot)]


@pytest.mark.parametrize("changes", [
    {"house_number": "113"}, {"street": "N Ferry Oak Ln"}, {"postal_code": "52998"}, {"closed_in": "2027-06"},
    {"closed_in": "2028-07"},
])  # fmt: skip
def test_what_does_not_fit_is_answered_alike_and_mails_nothing(owned: House, changes: dict[str, str]) -> None:
    ask(owned, **changes)

    assert losing.answer_lost_numbers(owned.parts) == 0
    assert (mailed(owned), owned.rows(LostNumber)) == ([], 0)


def test_a_holder_without_a_mail_address_gets_none(lite: House) -> None:
    own(lite, email="")
    ask(lite)
    assert losing.answer_lost_numbers(lite.parts) == 0


def test_asking_is_the_same_work_for_a_house_that_is_there_and_for_one_that_is_not(owned: House) -> None:
    with counted(owned.parts.store) as there:
        ask(owned, "203.0.113.1")
    with counted(owned.parts.store) as not_there:
        ask(owned, "203.0.113.2", house_number="9999", street="Nowhere Road")

    assert there == not_there
    assert not [statement for statement in there if "warranty" in statement or "holder" in statement]


def wait_of(house: House, address: str = HERE, **changes: str) -> int:
    try:
        ask(house, address, **changes)
    except TooManyTries as slow:
        return slow.wait_seconds
    return 0


def test_one_address_asks_three_times_and_then_waits(owned: House) -> None:
    waits = [wait_of(owned, house_number=str(n)) for n in range(4)]

    assert waits == [0, 0, 0, 901]
    assert wait_of(owned, "203.0.113.8", house_number="77") == 0


def test_one_house_is_asked_for_three_times_and_then_waits_wherever_it_is_asked_from(owned: House) -> None:
    waits = [wait_of(owned, f"203.0.113.{n}") for n in range(4)]

    assert waits == [0, 0, 0, 901]
    assert losing.answer_lost_numbers(owned.parts) == 3


def test_asked_many_times_at_once_it_is_asked_no_oftener(house: House) -> None:
    own(house)
    answers = at_once(*(partial(ask, house, f"203.0.113.{n}") for n in range(8)))

    assert sorted(type(answer).__name__ for answer in answers) == ["NoneType"] * 3 + ["TooManyTries"] * 5


def test_what_is_missing_is_told_beside_its_field_and_nothing_is_kept(owned: House) -> None:
    found = problems(lambda: ask(owned, house_number="", street=" ", postal_code="", closed_in="soon"))

    assert list(found) == ["house_number", "street", "postal_code", "closed_in"]
    assert owned.rows(LostNumber) == 0
