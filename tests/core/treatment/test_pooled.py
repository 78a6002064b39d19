"""Concentrate bought for each lot by itself, or once for all: against trying every set of containers."""

from __future__ import annotations

from fractions import Fraction
from itertools import product as every

from hypothesis import given, settings
from hypothesis import strategies as st

from portal.core.treatment.containers import Container
from portal.core.treatment.pooled import Pooled, pooled
from portal.core.treatment.product import Product

PRODUCT = Product()


def of(*gallons: str, product: Product = PRODUCT) -> Pooled:
    found = pooled([Fraction(need) for need in gallons], product)
    assert found is not None
    return found


def test_three_lots_share_what_each_would_leave_over() -> None:
    """By hand, of 1 gal at 92.00 and 5 at 415.00: 2.96 gal take 3 ones alone; 8.88 take a five and 4."""
    found = of("2.96", "2.96", "2.96")

    assert [(int(c.gallons), n) for c, n in found.apart.containers] == [(1, 9)]
    assert [(int(c.gallons), n) for c, n in found.together.containers] == [(1, 4), (5, 1)]
    assert (found.containers_saved, found.cost_saved) == (4, 9 * 92 - (415 + 4 * 92))
    assert (found.part_used_apart, found.part_used_together) == (3, 1)
    assert (found.apart.left, found.together.left) == (Fraction("0.12"), Fraction("0.12"))


def test_less_is_left_over_where_less_is_bought() -> None:
    """By hand: 1.2 gal takes two ones, three times; 3.6 gal take four."""
    found = of("1.2", "1.2", "1.2")

    assert (found.apart.count, found.together.count) == (6, 4)
    assert (found.apart.left, found.together.left, found.gallons_saved) == (
        Fraction("2.4"), Fraction("0.4"), Fraction(2)
    )  # fmt: skip


def test_one_lot_saves_nothing() -> None:
    found = of("2.96")

    assert found.apart == found.together
    assert (found.containers_saved, found.cost_saved, found.gallons_saved) == (0, 0, 0)


def test_where_nothing_is_needed_there_is_nothing_to_say() -> None:
    assert pooled([], PRODUCT) is None
    assert pooled([Fraction(0)], PRODUCT) is None


def cheapest(need: Fraction, shelf: tuple[Container, ...]) -> Fraction:
    """The least that whole containers for so much cost: every set tried, few enough for small needs."""
    most = [range(int(need / container.gallons) + 2) for container in shelf]
    costs = [
        sum((c.cost * n for c, n in zip(shelf, counts, strict=True)), Fraction(0))
        for counts in every(*most)
        if sum((c.gallons * n for c, n in zip(shelf, counts, strict=True)), Fraction(0)) >= need
    ]
    return min(costs)


NEEDS = st.lists(st.fractions(Fraction(1, 10), 6, max_denominator=20), min_size=1, max_size=4)


@settings(max_examples=40)
@given(NEEDS)
def test_both_ways_are_the_cheapest_and_together_never_costs_more(needs: list[Fraction]) -> None:
    found = pooled(needs, PRODUCT)
    assert found is not None

    assert found.apart.cost == sum(cheapest(need, PRODUCT.containers) for need in needs)
    assert found.together.cost == cheapest(sum(needs, Fraction(0)), PRODUCT.containers)
    assert found.cost_saved >= 0
    assert found.apart.left >= 0 and found.together.left >= 0
