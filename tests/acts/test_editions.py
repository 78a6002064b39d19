"""Editions, not edits: what the office enters holds from its first day on."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from typing import Any

import pytest

from portal.acts import editions
from portal.core.errors import NotFound
from portal.store.tables import Edition
from tests.parts.at_once import at_once
from tests.parts.house import FIRM, PRODUCT, RATES, TERMS, House
from tests.parts.refusals import problems

TODAY = date(2027, 5, 4)


def total(house: House, lot: str) -> str:
    document = house.sheet(lot).revisions[0].document
    assert document is not None
    return str(document.offer.total)


def test_an_edition_holds_from_its_first_day_on(house: House) -> None:
    lot = house.to_check()
    before = total(house, lot)
    house.enter("rates", RATES | {"call_out": "135.00"}, TODAY + timedelta(days=2))

    assert total(house, lot) == before
    house.clock.pass_by(days=2)
    assert total(house, lot) == "647.51"  # 605.15, and 7 % of it: 42.3605


def test_of_two_editions_of_one_day_the_later_holds(lite: House) -> None:
    for call_out in ("0", "10.00"):
        number = lite.enter("rates", RATES | {"call_out": call_out})

    lot = lite.to_check()

    assert number == 3
    document = lite.sheet(lot).revisions[0].document
    assert document is not None and document.rate_edition == 3


def test_an_edition_does_not_begin_in_the_past(lite: House) -> None:
    assert problems(lambda: lite.enter("rates", RATES, TODAY - timedelta(days=1))) == {
        "first_day": "An edition begins today or later: quotes already sent keep theirs."
    }


def test_the_rate_book_shows_every_edition_newest_first(lite: House) -> None:
    lite.enter("terms", TERMS | {"years": 5})

    book = editions.rate_book(lite.parts, lite.office)

    assert [(e.number, e.document["years"], e.made_by) for e in book["terms"]] == [
        (2, 5, "Odile Marchbank"), (1, 10, "Odile Marchbank"),
    ]  # fmt: skip
    assert set(book) == {"rates", "product", "crew", "terms", "firm"}


@pytest.mark.parametrize(
    ("kind", "document", "at"),
    [
        ("rates", {"minimum": "-1"}, "rates.minimum"),
        ("rates", {"tax_percent": "101"}, "rates.tax_percent"),
        ("rates", {"surcharge": "1"}, "rates"),
        ("crew", {"sprayers": 0}, "crew.sprayers"),
        ("product", PRODUCT | {"figures": {"feet_per_gallon": "0"}}, "product.feet_per_gallon"),
        ("product", {k: v for k, v in PRODUCT.items() if k != "registration"}, "registration"),
        ("terms", TERMS | {"years": 0}, "years"),
        ("terms", TERMS | {"years": "ten"}, "years"),
        ("terms", TERMS | {"covers": []}, "covers"),
        ("terms", TERMS | {"voids": [""]}, "voids"),
        ("terms", TERMS | {"release": "never"}, "release"),
        ("firm", FIRM | {"quote_days": 0}, "quote_days"),
        ("firm", FIRM | {"net_days": 366}, "net_days"),
        ("firm", FIRM | {"address": []}, "address"),
        ("firm", FIRM | {"name": ""}, "name"),
    ],
)
def test_an_edition_that_cannot_be_used_is_told_at_its_field(
    lite: House, kind: str, document: dict[str, Any], at: str
) -> None:
    before = lite.rows(Edition)

    found = problems(lambda: lite.enter(kind, document))

    assert [field.startswith(at) for field in found] == [True], found
    assert lite.rows(Edition) == before


def test_there_is_no_other_kind_of_edition(lite: House) -> None:
    with pytest.raises(NotFound):
        lite.enter("weather", {})


def test_terms_for_life_have_no_years(lite: House) -> None:
    lite.enter("terms", TERMS | {"years": None})

    document = lite.sheet(lite.to_check()).revisions[0].document

    assert document is not None and document.terms.years is None


def test_years_as_text_are_a_number_in_the_terms(lite: House) -> None:
    lite.enter("terms", TERMS | {"years": "7"})

    document = lite.sheet(lite.to_check()).revisions[0].document

    assert document is not None and document.terms.years == 7


def test_an_edition_sent_twice_at_the_same_moment_is_one(house: House) -> None:
    enter = partial(editions.enter, house.parts, house.owner, "crew", TODAY, {"sprayers": 2}, house.key())

    assert at_once(enter, enter) == [2, 2]


def test_a_quote_cannot_be_reckoned_before_everything_is_entered(
    new_house: Any, sqlite_url: str, tmp_path: Any
) -> None:
    from tests.parts.house import bare_house

    house = bare_house(sqlite_url, tmp_path)
    house.owner = house.person("office", "Odile Marchbank", owner=True)
    house.enter("rates", RATES)
    house.office = house.owner
    house.builder = house.person("builder", "Harriet Finch", company="Harrow & Finch Homes")

    with pytest.raises(NotFound, match="edition of product"):
        house.asked()
    house.parts.store.engine.dispose()


@pytest.mark.parametrize("typed", ["2027-07-05", ["July 5"], ["2027-W27-1"], ["2027-02-30"], [20270705],
                                   ["2027-07-05"] * 101])  # fmt: skip
def test_days_off_that_are_none_are_told_at_their_field(lite: House, typed: Any) -> None:
    assert list(problems(lambda: lite.enter("firm", FIRM | {"days_off": typed}))) == ["days_off"]
