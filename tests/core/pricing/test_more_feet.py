"""More feet never cost less, by whatever rates the editor accepts, on whatever lot.

What is asked is the price before tax: a jurisdiction may tax one kind of line and not another, and that is
its own affair. The rate book's own percentage is on all of it, so with that the total is asked too.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from portal.core.errors import BadInput
from portal.core.pricing.agreement import read_prices
from portal.core.pricing.lines import Price, price
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.site import AgreedPrices, Site, rates_at

pytestmark = pytest.mark.slow

FEET = st.fractions(min_value=0, max_value=3000, max_denominator=64)
AMOUNT = st.decimals(0, 800, places=2, allow_nan=False).map(str)
PER_FOOT = st.decimals(0, 5, places=3, allow_nan=False).map(str)
PERCENT = st.decimals(0, 100, places=2, allow_nan=False).map(str)


def rows(end: str, amount: str, amounts: st.SearchStrategy[str]) -> st.SearchStrategy[list[dict[str, Any]]]:
    """Rows that ascend, the last one open."""

    def made(ends: list[int]) -> st.SearchStrategy[list[dict[str, Any]]]:
        alike = [st.fixed_dictionaries({end: st.just(one), amount: amounts}) for one in sorted(ends)]
        return st.tuples(*alike, st.fixed_dictionaries({amount: amounts})).map(list)

    return st.lists(st.integers(1, 2500), unique=True, max_size=4).flatmap(made)


BANDS = rows("up_to_feet", "per_foot", PER_FOOT)
DOCUMENTS = st.fixed_dictionaries({}, optional={
    "bands": BANDS, "minimum": AMOUNT, "second_coat_per_foot": PER_FOOT, "unwrap_per_foot": PER_FOOT,
    "call_out": AMOUNT, "call_out_by_miles": rows("up_to_miles", "charge", AMOUNT),
    "crawl_space": AMOUNT, "crawl_space_per_foot": PER_FOOT, "discount_percent": PERCENT,
    "tax_percent": PERCENT, "small_lot_feet": st.integers(0, 1500).map(str), "small_lot_minimum": AMOUNT,
})  # fmt: skip
AGREED = BANDS.map(lambda bands: {"bands": bands}) | PERCENT.map(lambda percent: {"percent": percent})


def accepted(document: dict[str, Any]) -> Rates:
    """What the editor takes; what it refuses is no rate book."""
    try:
        return read_rates(document)
    except BadInput:
        assume(False)
        raise


def agreed(document: dict[str, Any] | None) -> AgreedPrices | None:
    """Likewise what is agreed with a builder."""
    try:
        return None if document is None else read_prices(document)
    except BadInput:
        assume(False)
        raise


@given(
    rates=DOCUMENTS.map(dict), own=st.none() | AGREED, crawl=st.booleans(),
    miles=st.none() | st.fractions(min_value=0, max_value=3000, max_denominator=10),
    feet=FEET, sided=st.fractions(0, 1), wrapped=st.fractions(0, 1), more=FEET, where=st.sampled_from("iswo"),
)  # fmt: skip
def test_more_feet_never_cost_less(
    rates: dict[str, Any], own: dict[str, Any] | None, crawl: bool, miles: Fraction | None,
    feet: Fraction, sided: Fraction, wrapped: Fraction, more: Fraction, where: str,
) -> None:  # fmt: skip
    """More of the interior, or of outside walls that are sided, wrapped or open."""
    here = rates_at(accepted(rates), Site(crawl, miles, agreed(own)))
    second, under = feet * sided, feet * (1 - sided) * wrapped

    less = price(feet, second, under, here)
    longer = price(
        feet + more, second + (more if where == "s" else 0), under + (more if where == "w" else 0), here
    )

    assert before_tax(longer) >= before_tax(less)
    assert longer.total >= less.total


def before_tax(found: Price) -> Any:
    """The price as it is agreed."""
    return found.subtotal - found.discount


def test_a_small_lot_s_own_minimum_is_asked_on_both_sides_of_its_end() -> None:
    """By hand: 1.00 a foot, 395.00 at least; under 150 ft 240.00 at least."""
    rates = read_rates({
        "bands": [{"per_foot": "1.00"}], "minimum": "395", "small_lot_feet": "150",
        "small_lot_minimum": "240",
    })  # fmt: skip

    found = [str(price(Fraction(feet), Fraction(0), Fraction(0), rates).total) for feet in (149, 150, 400)]

    assert found == ["240.00", "395.00", "400.00"]
