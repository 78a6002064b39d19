"""Agreements on prices: which one holds, for whom, until when; what a quote says of it, and to whom."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.acts import agreeing
from portal.acts.agreeing import AgreementAsked
from portal.core.documents import QuoteDocument
from portal.core.errors import NotFound
from portal.core.pricing.agreement import Agreement, winning
from portal.core.pricing.site import AgreedPrices
from portal.store.tables import Agreement as Row
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

FLAT = {"bands": [{"per_foot": "1.30"}]}
TEN_OFF = {"percent": "10"}


def asked(house: House, document: dict[str, Any], subdivision: str = "", **changes: Any) -> AgreementAsked:
    """What an owner enters, from today on unless said otherwise."""
    given = {"company_id": house.builder.company_id, "first_day": house.parts.today(), "last_day": None}
    return AgreementAsked(subdivision=subdivision, document=document, **given | changes)


def agree(house: House, document: dict[str, Any], subdivision: str = "", **changes: Any) -> str:
    """An agreement with the builder; its number."""
    wanted = asked(house, document, subdivision, **changes)
    return agreeing.agree(house.parts, house.owner, wanted, house.key())


def quoted(house: House, lot: str) -> QuoteDocument:
    """The newest revision."""
    document = house.sheet(lot).revisions[0].document
    assert document is not None
    return document


def named(house: House, **lot: Any) -> str:
    """The number of the agreement that a new lot is quoted under."""
    agreement = quoted(house, house.sent(**lot)).agreement
    return agreement.number if agreement else ""


def state(house: House, number: str) -> str:
    """What the office reads of it today."""
    views = agreeing.list_agreements(house.parts, house.office)
    return next(view.state for view in views if view.agreed.number == number)


def found(house: House, number: str) -> str:
    """Its id."""
    views = agreeing.list_agreements(house.parts, house.office)
    return next(view.id for view in views if view.agreed.number == number)


def test_agreed_bands_stand_for_the_rate_book_s_and_the_quote_says_so(house: House) -> None:
    """By hand: 296 × 1.30 = 384.80, with 34.20, 6.75 and 35.00 460.75; 7 %, 32.2525, make it 493.00."""
    number = agree(house, FLAT)
    document = quoted(house, house.sent())

    assert (document.offer.subtotal, document.offer.total) == (Decimal("460.75"), Decimal("493.00"))
    assert document.rate_edition == 1 and document.agreement is not None
    assert document.agreement.number == number
    assert [(band.up_to_feet, band.per_foot) for band in document.agreement.bands] == [(None, Decimal("1.3"))]


def test_the_most_particular_holds_then_the_later_then_the_higher_number(lite: House) -> None:
    tomorrow = lite.parts.today() + timedelta(days=1)
    everywhere = agree(lite, TEN_OFF)
    here = agree(lite, FLAT, "Quarry Bend")
    agree(lite, {"percent": "2"}, "Quarry Bend", first_day=tomorrow)
    later = agree(lite, {"percent": "3"}, "Quarry Bend", first_day=tomorrow)

    assert named(lite) == here
    assert named(lite, subdivision="Tamarack Ford") == everywhere
    assert named(lite, subdivision="") == everywhere
    lite.clock.pass_by(days=1)
    assert named(lite) == later
    assert [state(lite, one) for one in (everywhere, here, later)] == ["in force", "superseded", "in force"]


def test_it_holds_through_its_last_day_and_a_quote_keeps_it_for_good(lite: House) -> None:
    today = lite.parts.today()
    number = agree(lite, FLAT, last_day=today + timedelta(days=1))
    lite.clock.pass_by(days=1)
    kept = lite.sent()
    lite.clock.pass_by(days=1)

    assert named(lite) == "" and state(lite, number) == "over"
    agreement = quoted(lite, kept).agreement
    assert agreement is not None and agreement.number == number


def test_another_builder_neither_has_it_nor_hears_of_it(house: House) -> None:
    """By hand: without one the ranch is 505.15, in a subdivision that is called the same."""
    agree(house, FLAT)
    agree(house, TEN_OFF, "Quarry Bend")
    theirs = house.sent(by=house.rival)

    document = quoted(house, theirs)
    assert document.agreement is None
    assert document.offer.subtotal == Decimal("505.15") and document.offer.discount == 0
    seen = house.sheet(theirs, house.rival)
    assert "A-2027" not in repr(seen)


COMPANIES, PLACES = st.sampled_from("abc"), st.none() | st.sampled_from("xyz")
DAYS = st.dates(date(2027, 1, 1), date(2027, 3, 1))
AGREEMENTS = st.lists(
    st.builds(
        Agreement, number=st.integers(1, 9999).map("A-2027-{:04}".format), company_id=COMPANIES,
        subdivision_id=PLACES, first_day=DAYS, last_day=st.none() | DAYS,
        prices=st.builds(AgreedPrices, percent=st.just(Fraction(5))),
    ),
    max_size=12, unique_by=lambda one: one.number,
)  # fmt: skip


@given(AGREEMENTS, COMPANIES, PLACES, DAYS)
def test_what_holds_is_the_builder_s_own_for_the_place_and_the_day(
    agreements: list[Agreement], company: str, place: str | None, day: date
) -> None:
    best = winning(agreements, company, place, day)

    own = [one for one in agreements if one.company_id == company]
    assert best == winning(own, company, place, day)
    if best is None:
        assert not [one for one in own if one.subdivision_id in (None, place) and one.holds(day)]
    else:
        assert best.company_id == company and best.holds(day) and best.subdivision_id in (None, place)
        here = [one for one in own if place and one.subdivision_id == place and one.holds(day)]
        assert not here or best in here


def test_ended_it_holds_through_that_day_and_is_ended_once(lite: House) -> None:
    number = agree(lite, FLAT)
    ident = found(lite, number)
    today = lite.parts.today()

    agreeing.end(lite.parts, lite.owner, ident, today, "The year is over.")

    assert named(lite) == number
    lite.clock.pass_by(days=1)
    assert named(lite) == ""
    again = refusal(lambda: agreeing.end(lite.parts, lite.owner, ident, lite.parts.today(), "Again."))
    assert again == f"{number} is ended already."
    assert agreeing.one_agreement(lite.parts, lite.office, ident).reason == "The year is over."


def test_one_to_come_is_taken_back_before_it_begins(lite: House) -> None:
    number = agree(lite, FLAT, first_day=lite.parts.today() + timedelta(days=5))
    assert state(lite, number) == "to come"

    agreeing.end(lite.parts, lite.owner, found(lite, number), lite.parts.today(), "It was for another.")

    assert state(lite, number) == "over"
    lite.clock.pass_by(days=5)
    assert named(lite) == ""


WRONG: list[tuple[dict[str, Any], dict[str, Any], str]] = [
    ({}, {}, "kind"),
    (FLAT | TEN_OFF, {}, "kind"),
    ({"percent": "0"}, {}, "percent"),
    ({"percent": "100.01"}, {}, "percent"),
    ({"percent": "ten"}, {}, "percent"),
    ({"bands": [{"up_to_feet": "9", "per_foot": "1"}, {"per_foot": "1.01"}]}, {}, "bands"),
    ({"bands": [{"per_foot": "-1"}]}, {}, "bands[0].per_foot"),
    (FLAT, {"first_day": None}, "first_day"),
    (FLAT, {"first_day": date(2027, 5, 3)}, "first_day"),
    (FLAT, {"last_day": date(2027, 5, 3)}, "last_day"),
    (FLAT, {"company_id": "nobody"}, "company"),
    (FLAT, {"note": "n" * 2001}, "note"),
]


@pytest.mark.parametrize(("document", "changes", "at"), WRONG)
def test_what_is_wrong_is_told_at_its_field_and_nothing_is_kept(
    lite: House, document: dict[str, Any], changes: dict[str, Any], at: str
) -> None:
    assert list(problems(lambda: agree(lite, document, **changes))) == [at]
    assert lite.rows(Row) == 0


def test_entered_twice_it_is_one(lite: House) -> None:
    wanted = asked(lite, FLAT)

    numbers = {agreeing.agree(lite.parts, lite.owner, wanted, "one key") for _ in range(2)}

    assert numbers == {"A-2027-0001"} and lite.rows(Row) == 1


def test_one_that_is_not_there(lite: House) -> None:
    with pytest.raises(NotFound):
        agreeing.one_agreement(lite.parts, lite.office, "nothing")
