"""Slices over the sum of a package's feet: whole, shares, and what may be said of them always."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.pricing.lines import price
from portal.core.pricing.package import Shares, shares
from portal.core.pricing.rates import Rates, read_rates
from tests.core.houses import wrong

pytestmark = pytest.mark.slow

RATES = Rates()
#: 296 ft a lot: ANSI/ASHRAE Standard 140 case L100 has 168 ft of exterior wall, and 128 ft of interior wall.
L100 = Fraction(296)


def shared(rates: Rates = RATES, **feet: Any) -> Shares:
    return shares({key: Fraction(own) for key, own in feet.items()}, rates)


def test_three_lots_alike_pay_a_third_each() -> None:
    """By hand: 888 ft are 300 at 1.45 and 588 at 1.20, so 435.00 + 705.60; alone 296 at 1.45 is 429.20."""
    found = shared(a=L100, b=L100, c=L100)

    assert str(found.whole) == "1140.60"
    assert set(map(str, found.of.values())) == {"380.20"}
    assert set(map(str, found.alone.values())) == {"429.20"}
    assert str(found.saved) == "147.00"


def test_the_cents_left_over_go_to_the_largest_remainders() -> None:
    """By hand: 100.00 over 1, 1 and 1 ft; 33.33 each and a cent left over, for the first key of equals.

    The method of largest remainders is the one for sharing out seats: A. Hamilton, 1792 (from memory).
    """
    rates = read_rates({"bands": [{"up_to_feet": 2, "per_foot": "50.00"}, {"per_foot": 0}]})
    found = shared(rates, c=1, b=1, a=1)

    assert {key: str(amount) for key, amount in found.of.items()} == {
        "a": "33.34", "b": "33.33", "c": "33.33"
    }  # fmt: skip


def test_of_equal_remainders_the_longer_lot_has_the_cent() -> None:
    """By hand: 2 cents over 1 and 3 ft are half a cent, and one and a half."""
    rates = read_rates({"bands": [{"up_to_feet": "0.2", "per_foot": "0.10"}, {"per_foot": 0}]})
    found = shared(rates, a=1, b=3)

    assert {key: str(amount) for key, amount in found.of.items()} == {"a": "0.00", "b": "0.02"}


def test_one_lot_alone_pays_what_it_pays_alone() -> None:
    found = shared(a="333.337")

    assert found.of == found.alone
    assert found.saved == 0


def test_a_cent_that_only_rounding_makes_is_not_taken() -> None:
    """By hand: 100.004 three times is 300.012, which rounds to 300.01; alone it is 100.00 three times."""
    rates = read_rates({"bands": [{"per_foot": "1"}]})
    found = shared(rates, a="100.004", b="100.004", c="100.004")

    assert str(found.whole) == "300.00"
    assert found.of == found.alone


def test_lots_without_feet_or_rates_of_nothing_cost_nothing() -> None:
    free = read_rates({"bands": [{"per_foot": 0}]})

    assert shared(free, a=10, b=20).whole == 0
    assert shared(a=0, b=0).whole == 0
    assert shared(a=0, b=300).of == {"a": Decimal("0.00"), "b": Decimal("435.00")}


# What may be said of every package.

FEET = st.fractions(min_value=Fraction(1, 64), max_value=5000, max_denominator=64)
LOTS = st.lists(FEET, min_size=1, max_size=12).map(lambda some: {f"lot {i}": f for i, f in enumerate(some)})
CENTS_A_FOOT = st.lists(
    st.decimals("0.001", 5, places=3, allow_nan=False), min_size=1, max_size=4, unique=True
)


@st.composite
def falling(draw: st.DrawFn) -> Rates:
    """Rates that fall from slice to slice, a few slices of them."""
    per_foot = sorted(draw(CENTS_A_FOOT), reverse=True)
    ends = sorted(draw(st.sets(st.integers(1, 9000), min_size=len(per_foot) - 1, max_size=len(per_foot) - 1)))
    bands: list[dict[str, Any]] = [
        {"up_to_feet": end, "per_foot": str(rate)} for end, rate in zip(ends, per_foot[:-1], strict=True)
    ]
    return read_rates({"bands": [*bands, {"per_foot": str(per_foot[-1])}], "slices_over": "package"})


@given(LOTS, falling())
def test_the_shares_add_up_to_the_cent(feet: dict[str, Fraction], rates: Rates) -> None:
    found = shares(feet, rates)

    assert sum(found.of.values()) == found.whole
    assert min(found.of.values()) >= 0


@given(LOTS, falling())
def test_no_lot_costs_more_than_alone(feet: dict[str, Fraction], rates: Rates) -> None:
    found = shares(feet, rates)

    assert all(found.of[key] <= found.alone[key] for key in feet)


@given(LOTS, falling(), st.integers())
def test_the_order_of_the_lots_does_not_matter(feet: dict[str, Fraction], rates: Rates, luck: int) -> None:
    turned = list(feet.items())
    random.Random(luck).shuffle(turned)

    assert shares(dict(turned), rates) == shares(feet, rates)


@given(LOTS, falling(), FEET, st.data())
def test_more_feet_never_make_the_whole_cheaper(
    feet: dict[str, Fraction], rates: Rates, more: Fraction, data: st.DataObject
) -> None:
    longer = data.draw(st.sampled_from(sorted(feet)))

    assert shares(feet | {longer: feet[longer] + more}, rates).whole >= shares(feet, rates).whole
    assert shares(feet | {"another": more}, rates).whole >= shares(feet, rates).whole


@given(LOTS, falling())
def test_the_whole_is_the_slices_over_the_sum_but_for_cents_of_rounding(
    feet: dict[str, Fraction], rates: Rates
) -> None:
    """Against slices run over the sum one foot-slice after another, reckoned here in another way."""
    exact, start = Fraction(0), Fraction(0)
    total = sum(feet.values())
    for band in rates.bands:
        end = total if band.up_to_feet is None else min(total, band.up_to_feet)
        exact += max(end - start, Fraction(0)) * band.per_foot
        start = max(start, end)
    gap = exact - Fraction(shares(feet, rates).whole)

    assert -Fraction(1, 200) <= gap <= Fraction(len(feet), 200)


@given(LOTS, falling(), st.fractions(0, 900, max_denominator=100), st.fractions(0, 2500, max_denominator=100))
def test_with_its_own_lines_and_minimum_a_lot_never_costs_more_than_alone(
    feet: dict[str, Fraction], rates: Rates, sided: Fraction, least: Fraction
) -> None:
    rates = replace(rates, minimum=least, discount_percent=Fraction(5, 2), tax_percent=Fraction(33, 4))
    found = shares(feet, rates)

    for key, own in feet.items():
        alone = price(own, sided, Fraction(0), rates)
        together = price(own, sided, Fraction(0), rates, found.of[key])
        assert together.total <= alone.total


def test_under_the_minimum_more_feet_can_take_cents_off_the_neighbors() -> None:
    """What the minimum charge does, said and not hidden: feet that its own minimum covers cost a lot nothing.

    They are feet of the sum all the same, and so lower the rate of the others. The whole of the treatment
    still grows with every foot.
    """

    def total(small: int) -> Decimal:
        feet = {"large": Fraction(3000), "small": Fraction(small)}
        found = shares(feet, RATES)
        return sum((price(own, Fraction(0), Fraction(0), RATES, found.of[key]).total
                    for key, own in feet.items()), Decimal(0))  # fmt: skip

    assert total(20) < total(10)


@pytest.mark.parametrize("over", ["sum", "", None, 1, True])
def test_slices_run_over_a_lot_or_a_package(over: Any) -> None:
    assert [at for at, _ in wrong(lambda: read_rates({"slices_over": over}))] == ["rates.slices_over"]


def test_rates_that_rise_do_not_go_with_a_package() -> None:
    rising = [{"up_to_feet": 100, "per_foot": "1.00"}, {"per_foot": "1.01"}]

    assert read_rates({"bands": rising}).slices_over == "lot"
    found = wrong(lambda: read_rates({"bands": rising, "slices_over": "package"}))
    assert [at for at, _ in found] == ["rates.slices_over"]
