"""The price of a house: lines, minimum, discount and tax."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.pricing.lines import Price, price
from portal.core.pricing.rates import Rates, read_rates


def priced(total: Any, sided: Any = 0, wrapped: Any = 0, **rates: Any) -> Price:
    return price(Fraction(total), Fraction(sided), Fraction(wrapped), read_rates({"minimum": 0, **rates}))


def lines(found: Price) -> list[tuple[str, str]]:
    return [(line.what, str(line.amount)) for line in found.lines]


def test_one_band_is_enough_up_to_its_end() -> None:
    (line,) = priced(300).lines

    assert (line.feet, line.rate, str(line.amount)) == (300, Fraction("1.45"), "435.00")


def test_the_feet_beyond_a_band_are_at_the_next_rate() -> None:
    (line,) = priced(1200).lines

    assert (line.feet, line.rate) == (1200, None)
    assert line.amount == 300 * Decimal("1.45") + 700 * Decimal("1.20") + 200 * Decimal("0.95")


def test_second_coat_and_unwrapping_have_lines_of_their_own() -> None:
    found = priced(100, 40, 30)

    assert lines(found) == [("treatment", "145.00"), ("second_coat", "24.00"), ("unwrap", "7.50")]


def test_each_line_is_rounded_half_up_from_exact_feet() -> None:
    found = priced("100.1", "0.025", "0.02", bands=[{"per_foot": "1.00005"}], second_coat_per_foot="0.2")

    assert lines(found) == [("treatment", "100.11"), ("second_coat", "0.01"), ("unwrap", "0.01")]


def test_a_line_of_nothing_is_left_out_also_where_it_rounds_to_nothing() -> None:
    found = priced("0.001", "0.001", bands=[{"per_foot": 0}])

    assert lines(found) == [] and str(found.total) == "0.00"


def test_the_minimum_is_what_is_missing_to_it() -> None:
    found = priced(100, call_out="50", minimum="395.00")

    assert lines(found) == [("treatment", "145.00"), ("call_out", "50.00"), ("minimum", "200.00")]
    assert priced(100, minimum="145").lines[-1].what == "treatment"


def test_the_minimum_stands_before_discount_and_tax() -> None:
    found = priced(100, minimum=200, discount_percent=10, tax_percent=10)

    assert (str(found.subtotal), str(found.discount), str(found.tax)) == ("200.00", "20.00", "18.00")
    assert str(found.total) == "198.00"


def test_discount_and_tax_are_rounded_half_up() -> None:
    found = priced(1, bands=[{"per_foot": "0.50"}], discount_percent=1, tax_percent=1)

    assert (str(found.discount), str(found.tax), str(found.total)) == ("0.01", "0.00", "0.49")


def test_a_hundred_percent_off_is_free() -> None:
    assert str(priced(500, discount_percent=100, tax_percent=8).total) == "0.00"


@pytest.mark.parametrize("currency", ["USD", "CAD"])
def test_the_currency_is_that_of_the_rates(currency: str) -> None:
    assert priced(1, currency=currency).currency == currency


def test_amounts_of_any_size_are_exact() -> None:
    found = priced(1, bands=[{"per_foot": "123456789012345678901234567890.125"}], tax_percent=100)

    assert str(found.total) == "246913578024691357802469135780.26"


feet = st.fractions(0, 5000, max_denominator=480)
bands = st.lists(
    st.tuples(st.integers(1, 2000), st.integers(0, 300)), max_size=5, unique_by=lambda band: band[0]
)


@given(bands, st.integers(0, 300), feet, feet, st.integers(0, 600), st.integers(0, 20))
def test_more_feet_never_cost_less(
    slices: list[tuple[int, int]], last: int, one: Fraction, other: Fraction, minimum: int, tax: int
) -> None:
    ascending = [{"up_to_feet": end, "per_foot": Fraction(rate, 100)} for end, rate in sorted(slices)]
    rates = {"bands": [*ascending, {"per_foot": Fraction(last, 100)}], "minimum": minimum, "tax_percent": tax}
    fewer, more = sorted((one, other))

    assert priced(fewer, **rates).total <= priced(more, **rates).total


@given(feet, feet, st.fractions(0, 2000, max_denominator=12))
def test_the_total_is_made_of_its_lines(total: Fraction, sided: Fraction, wrapped: Fraction) -> None:
    found = price(total, sided, wrapped, Rates(discount_percent=Fraction(7), tax_percent=Fraction("8.25")))

    assert found.subtotal == sum(line.amount for line in found.lines) >= 395
    assert found.total == found.subtotal - found.discount + found.tax
