"""The warranty: held, in force, void, expired; and how a homeowner finds it, and nobody else guesses it."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from typing import Any

import pytest

from portal.acts import covering, registering
from portal.acts.covering import WarrantyPage
from portal.core.cover.numbers import ALPHABET
from portal.core.errors import NotFound, TooManyTries
from portal.store.registered import RegisterFilter
from tests.parts.at_once import at_once
from tests.parts.house import TERMS, House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

HERE, ELSEWHERE = "203.0.113.7", "203.0.113.8"  # TEST-NET-3, RFC 5737


def find(house: House, number: str, house_number: str = "101", address: str = HERE) -> WarrantyPage:
    return covering.find(house.parts, number, house_number, address)


def registered(house: House, **which: Any) -> list[str]:
    page = registering.register(house.parts, house.office, RegisterFilter(**which))
    return [row.number for row in page.rows]


def test_a_warranty_in_force_runs_from_the_day_of_treatment(house: House) -> None:
    lot = house.paid()

    warranty = house.warranty(lot)

    assert (warranty.state, warranty.begins_on, warranty.ends_on) == (
        "in force",
        date(2027, 5, 4),
        date(2037, 5, 3),
    )
    assert ("in_force", "harriet@example.com") in house.letters()


def test_terms_for_the_life_of_the_structure_have_no_end(lite: House) -> None:
    lite.enter("terms", TERMS | {"years": None})

    lot = lite.paid()
    lite.clock.pass_by(days=20_000)

    assert (lite.warranty(lot).state, lite.warranty(lot).ends_on) == ("in force", None)
    assert covering.expire(lite.parts) == 0


def test_the_office_brings_one_into_force_by_hand(lite: House) -> None:
    lot = lite.treated()

    covering.release(lite.parts, lite.office, lot)

    assert (lite.sheet(lot).stage, lite.warranty(lot).state) == ("in force", "in force")
    assert refusal(lambda: covering.release(lite.parts, lite.office, lot)) == (
        "It is in force, so it cannot become in force."
    )


def test_paying_later_does_not_release_twice(lite: House) -> None:
    lot = lite.treated()
    covering.release(lite.parts, lite.office, lot)

    lite.paid(lot)

    assert lite.verbs(lot).count("in force") == 1


def test_what_was_kept_held_is_released_by_hand(lite: House) -> None:
    lot = lite.treated()
    covering.keep_held(lite.parts, lite.office, lot, "A notice.")
    lite.paid(lot)

    covering.release(lite.parts, lite.office, lot)

    assert (lite.warranty(lot).state, lite.warranty(lot).reason) == ("in force", "")


def test_before_the_treatment_there_is_none(lite: House) -> None:
    lot = lite.booked()

    said = refusal(lambda: covering.release(lite.parts, lite.office, lot))

    assert said == "There is no warranty yet: the lot is not treated."


def test_an_owner_makes_one_void_and_the_homeowner_reads_why(house: House) -> None:
    lot = house.paid()
    number = house.warranty(lot).number

    covering.make_void(house.parts, house.owner, lot, "The plates were cut and not treated again.")

    page = find(house, number)
    assert (page.state, page.reason) == ("void", "The plates were cut and not treated again.")
    assert house.sheet(lot).stage == "void"
    assert refusal(lambda: covering.make_void(house.parts, house.owner, lot, "Again.")) == (
        "It is void, so it cannot become void."
    )


def test_why_one_is_kept_held_is_the_offices_own_affair(lite: House) -> None:
    lot = lite.treated()
    covering.keep_held(lite.parts, lite.office, lot, "They owe us for three more.")

    assert find(lite, lite.warranty(lot).number).reason == ""


@pytest.mark.parametrize("reason", ["", "  ", "x" * 1001])
def test_holding_and_voiding_take_a_reason(lite: House, reason: str) -> None:
    lot = lite.treated()

    for act, who in ((covering.keep_held, lite.office), (covering.make_void, lite.owner)):
        assert list(problems(lambda act=act, who=who: act(lite.parts, who, lot, reason))) == ["reason"]  # type: ignore[misc]


def test_what_is_in_force_is_not_kept_held(lite: House) -> None:
    lot = lite.paid()

    assert refusal(lambda: covering.keep_held(lite.parts, lite.office, lot, "Late.")) == (
        "It is in force, so it cannot become held."
    )


def test_it_expires_the_day_after_its_last(house: House) -> None:
    lot = house.paid()
    number = house.warranty(lot).number

    house.clock.turn_to(date(2037, 5, 3), 23, 59)
    assert (find(house, number).state, covering.expire(house.parts)) == ("in force", 0)

    house.clock.turn_to(date(2037, 5, 4), 0, 0)
    assert (find(house, number).state, house.sheet(lot).stage) == ("expired", "expired")  # as of today
    assert registered(house, state="expired") == [number]
    assert registered(house, state="in force") == []
    assert (covering.expire(house.parts), covering.expire(house.parts)) == (1, 0)
    assert house.sheet(lot).stage == "expired"
    assert registered(house, state="expired") == [number]


def test_it_is_found_by_number_and_house_number_however_they_are_typed(house: House) -> None:
    lot = house.treated(house_number="12-b")
    number = house.warranty(lot).number

    for typed in (number, number.lower(), number.replace("-", ""), f"  {number.replace('-', ' ')} "):
        for at in ("12-b", "12B", " 12 b "):
            assert find(house, typed, at).number == number


def test_a_homeowner_sees_nothing_of_price_or_people(lite: House) -> None:
    page = find(lite, lite.warranty(lite.treated()).number)

    # Without the terms: they may promise repair up to an amount, and say in which money.
    shown = repr(page).replace(repr(page.document.terms), "")

    assert not [word for word in ("Harriet", "Harrow", "Wendell", "Price", "USD", "540.51") if word in shown]


def mistyped(number: str) -> str:
    """The number with its last character, which checks the others, replaced."""
    return number[:-1] + next(c for c in ALPHABET if c != number[-1])


def test_whatever_does_not_fit_the_answer_is_the_same(lite: House) -> None:
    number = lite.warranty(lite.treated()).number
    other = "2222-2222-22" + "X"
    said = []

    for typed, at in ((other, "101"), (number, "102"), (mistyped(number), "101"), ("", ""), (number, "")):
        with pytest.raises(NotFound) as caught:
            find(lite, typed, at, address=f"203.0.113.{len(said)}")
        said.append((str(caught.value), caught.value.noun, caught.value.key))

    assert set(said) == {("no warranty", "warranty", "")}


def wait_of(house: House, number: str, at: str = "999", address: str = HERE) -> int:
    """Seconds to wait that a try answers, or 0 where it was let through."""
    try:
        find(house, number, at, address)
    except TooManyTries as slow:
        return slow.wait_seconds
    except NotFound:
        return 0
    raise AssertionError("it was found")


def test_one_address_slows_down_after_a_few_tries_and_longer_each_time(house: House) -> None:
    tries = [wait_of(house, "", address=HERE) for _ in range(5)]
    first = wait_of(house, "", address=HERE)

    house.clock.pass_by(seconds=first)
    tries.append(wait_of(house, "", address=HERE))
    second = wait_of(house, "", address=HERE)

    assert (tries, first, second) == ([0] * 6, 31, 61)
    assert wait_of(house, "", address=ELSEWHERE) == 0


def test_one_number_slows_down_wherever_it_is_tried_from(lite: House) -> None:
    number = lite.warranty(lite.treated()).number

    for n in range(5):
        assert wait_of(lite, number, address=f"203.0.113.{n}") == 0

    assert wait_of(lite, number, address="198.51.100.1") == 31
    with pytest.raises(TooManyTries):
        find(lite, number, "101", "198.51.100.1")  # the right one waits too: no wait would tell


def test_many_guesses_sent_at_once_are_let_through_no_oftener_than_one_by_one(house: House) -> None:
    number = house.warranty(house.treated()).number
    guesses = [partial(find, house, number, str(n)) for n in range(900, 916)]

    answers = at_once(*guesses)

    assert sorted(type(answer).__name__ for answer in answers) == ["NotFound"] * 5 + ["TooManyTries"] * 11
    with pytest.raises(TooManyTries):
        find(house, number, "101")


def test_a_number_that_is_not_there_slows_down_alike(lite: House) -> None:
    from portal.core.cover.numbers import check_character, shown

    unknown = shown("2222222222" + check_character("2222222222"))
    for n in range(5):
        assert wait_of(lite, unknown, address=f"203.0.113.{n}") == 0

    assert wait_of(lite, unknown, address="198.51.100.1") == 31


def test_waiting_never_grows_beyond_the_window_and_is_over_after_it(lite: House) -> None:
    for _ in range(20):
        lite.clock.pass_by(seconds=wait_of(lite, ""))
    assert wait_of(lite, "") <= 3601

    lite.clock.pass_by(hours=1, seconds=1)

    assert wait_of(lite, "") == 0


def test_the_right_one_is_no_try_however_often(lite: House) -> None:
    number = lite.warranty(lite.treated()).number

    pages = {find(lite, number).number for _ in range(12)}

    assert pages == {number}


def test_the_code_on_the_certificate_leads_there(lite: House) -> None:
    lot = lite.paid()
    link = lite.warranty(lot).link

    page = covering.by_link(lite.parts, link.rpartition("/")[2])

    assert page.number == lite.warranty(lot).number
    with pytest.raises(NotFound):
        covering.by_link(lite.parts, "x" * 32)


def test_the_register_finds_by_part_of_an_address_builder_or_number(house: House) -> None:
    number = house.warranty(house.treated(name="Lot 7", house_number="12", street="Ferry_Oak Court")).number
    house.treated(name="Lot 8", house_number="14", street="Sluice Road")

    def found(text: str) -> list[str]:
        which = RegisterFilter(text=text)
        return [row.lot for row in registering.register(house.parts, house.office, which).rows]

    assert found(number.lower().replace("-", " ")) == ["Lot 7"]
    assert found("12 ferry") == ["Lot 7"]
    assert found("sluice") == ["Lot 8"]
    assert sorted(found("harrow")) == ["Lot 7", "Lot 8"]
    assert found("%") == []  # typed, not a wildcard
    assert found("y_o") == ["Lot 7"]
    assert registered(house, state="void") == []


def test_a_term_that_begins_on_the_leap_day_ends_on_the_last_of_february(lite: House) -> None:
    lite.clock.turn_to(date(2028, 2, 29))
    lot = lite.paid()

    assert lite.warranty(lot).ends_on == date(2038, 2, 28)
    assert lite.warranty(lot).begins_on == date(2028, 2, 29)
    lite.clock.turn_to(date(2038, 2, 28) + timedelta(days=1), 1)
    assert lite.warranty(lot).state == "expired"
