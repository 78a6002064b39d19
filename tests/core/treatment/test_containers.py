"""Which containers to buy: the search is exact, whatever is on the shelf."""

from __future__ import annotations

import time
from decimal import Decimal
from fractions import Fraction
from itertools import product
from math import ceil, prod
from random import Random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from portal.core.treatment.containers import Container, Shelf
from portal.core.treatment.product import read_product
from tests.core.houses import answered, level, measured, wrong

pytestmark = pytest.mark.slow


def cheapest(need: str | Fraction, *shelf: tuple[object, object]) -> tuple[int, ...]:
    """Counts for a shelf of (gallons, cost)."""
    return Shelf([Container(Fraction(str(g)), Fraction(str(c))) for g, c in shelf]).cheapest(Fraction(need))


def by_trying_all(need: Fraction, shelf: list[tuple[Fraction, Fraction]]) -> tuple[int, ...]:
    """The rule in its own words: cheapest, least left, fewest, more of what is listed first."""
    best = None
    for counts in product(*(range(ceil(need / gallons) + 1) for gallons, _ in shelf)):
        held = sum((n * g for n, (g, _) in zip(counts, shelf, strict=True)), Fraction(0))
        if held >= need:
            cost = sum((n * c for n, (_, c) in zip(counts, shelf, strict=True)), Fraction(0))
            rank = (cost, held, sum(counts), tuple(-n for n in counts))
            best = min(best, rank) if best else rank
    assert best
    return tuple(-n for n in best[3])


def test_what_fits_exactly_is_bought_exactly() -> None:
    assert cheapest("6", (1, 92), (5, 415)) == (1, 1)


def test_a_larger_one_is_bought_where_it_is_cheaper_than_what_is_missing() -> None:
    assert cheapest("4.64", (1, 92), (5, 415)) == (0, 1)
    assert cheapest("4", (1, 92), (5, 415)) == (4, 0)


def test_the_best_a_gallon_first_is_not_the_cheapest_set() -> None:
    # Greedy takes one of five and then another: 80. Two of three cost 70.
    assert cheapest("6", (5, 40), (3, 35)) == (0, 2)


def test_of_equal_cost_the_least_is_left_over() -> None:
    assert cheapest("3", (5, 30), (3, 30)) == (0, 1)


def test_of_equal_cost_and_rest_the_fewest_containers() -> None:
    assert cheapest("4", (1, 10), (2, 20), (4, 40)) == (0, 0, 1)
    assert cheapest("10", (1, 10), (2, 20), (4, 40)) == (0, 1, 2)


def test_of_a_full_tie_the_one_listed_earlier() -> None:
    assert cheapest("1", (1, 10), (1, 10)) == (1, 0)
    assert cheapest("6", (2, 20), (3, 30), (4, 40)) == (1, 0, 1)


def test_of_two_of_one_size_the_cheaper() -> None:
    assert cheapest("2", (1, 10), (1, 9)) == (0, 2)


def test_free_ones_are_taken_with_the_least_left() -> None:
    assert cheapest("7", (1, 5), (3, 0), (5, 0)) == (0, 1, 1)
    assert cheapest("2.96", (2, 0)) == (2,)


def test_odd_fractions_are_exact() -> None:
    assert cheapest("1", ("0.333", 1), ("0.334", 1)) == (2, 1)
    assert cheapest(Fraction(1, 3), ("0.3333", 1), (1, "1.99")) == (0, 1)


gallons = st.sampled_from([Fraction(n, 12) for n in (3, 4, 6, 7, 12, 18, 30, 41, 60)])
costs = st.integers(0, 60).map(Fraction)


@given(st.lists(st.tuples(gallons, costs), min_size=1, max_size=4), st.fractions(Fraction(1, 100), 9))
def test_the_set_is_the_one_that_trying_all_finds(
    shelf: list[tuple[Fraction, Fraction]], need: Fraction
) -> None:
    assume(prod(ceil(need / g) + 1 for g, _ in shelf) < 5000)

    assert cheapest(need, *shelf) == by_trying_all(need, shelf)


@given(st.lists(gallons, min_size=1, max_size=4), st.fractions(Fraction(1, 100), 9), st.integers(0, 9))
def test_so_it_is_where_all_cost_the_same_a_gallon(sizes: list[Fraction], need: Fraction, price: int) -> None:
    shelf = [(size, size * price) for size in sizes]
    assume(prod(ceil(need / g) + 1 for g, _ in shelf) < 5000)

    assert cheapest(need, *shelf) == by_trying_all(need, shelf)


TWELVE = ["0.37", "1.13", "2.71", "3.3", "4.99", "0.25", "5.28", "2.64", "1.06", "7.77", "9.01", "13.2"]
SHELVES = {
    "each at its own price": [(g, f"{n * 31 % 97}.25") for n, g in enumerate(TWELVE)],
    "nearly one price a gallon": [(g, f"{float(g) * 83:.2f}") for g in TWELVE],
    "one price a gallon": [(g, Fraction(g) * 83) for g in TWELVE],
    "all free": [(g, 0) for g in TWELVE],
    "some free": [(g, n % 3) for n, g in enumerate(TWELVE)],
}


@pytest.mark.parametrize("need", ["2.96", "999.99", "123456789.01"])
@pytest.mark.parametrize("shelf", SHELVES.values(), ids=SHELVES)
def test_twelve_odd_sizes_are_quick_however_much_is_needed(
    shelf: list[tuple[object, object]], need: str
) -> None:
    start = time.perf_counter()

    counts = cheapest(need, *shelf)

    held = sum(n * Fraction(str(g)) for n, (g, _) in zip(counts, shelf, strict=True))
    assert 0 <= held - Fraction(need) < 14
    assert time.perf_counter() - start < 3


@pytest.mark.parametrize("price", [0, 80])
def test_a_shelf_that_no_one_can_search_is_refused_soon_rather_than_answered_wrongly(price: int) -> None:
    luck = Random(5)
    sizes = [f"{luck.randint(5 * 10**9, 6 * 10**10):011d}" for _ in range(12)]
    sizes = [f"{size[:-10]}.{size[-10:]}" for size in sizes]
    shelf = [{"gallons": size, "cost": f"{Decimal(size) * price:f}"} for size in sizes]
    start = time.perf_counter()

    refused = wrong(lambda: answered(level(measured(4_999)), product=read_product({"containers": shelf})))

    assert [at for at, _ in refused] == ["product.containers"]
    assert time.perf_counter() - start < 10
