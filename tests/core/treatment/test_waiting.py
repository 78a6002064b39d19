"""Waiting between the coats is the least that any order of the stretches allows."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.treatment.minutes import makespan, waiting


def by_the_clock(
    order: tuple[Fraction, ...], first: Fraction, second: Fraction, other: Fraction, dry: Fraction
) -> Fraction:
    """Spray in this order and count the minutes in which nobody can."""
    clock, dried, waited = Fraction(0), [], Fraction(0)
    for length in order:
        clock += length * first
        dried.append(clock + dry)
    clock += other
    for length, ready in zip(order, dried, strict=True):
        waited += max(Fraction(0), ready - clock)
        clock = max(clock, ready) + length * second
    return waited


lengths = st.lists(st.integers(1, 60).map(lambda n: Fraction(n, 3)), min_size=1, max_size=6)
paces = st.sampled_from([Fraction(n, 60) for n in (3, 6, 9, 10, 20)])
minutes = st.integers(0, 40).map(Fraction)


@given(lengths, paces, paces, minutes, minutes)
def test_no_order_waits_less(
    each: list[Fraction], first: Fraction, second: Fraction, other: Fraction, dry: Fraction
) -> None:
    least = min(by_the_clock(order, first, second, other, dry) for order in permutations(each))

    assert waiting([(length, 1) for length in each], first, second, other, dry) == least


@given(lengths, paces, paces, st.integers(2, 5))
def test_alike_stretches_of_several_storeys_may_be_counted_together(
    each: list[Fraction], first: Fraction, second: Fraction, count: int
) -> None:
    together = makespan([(length, count) for length in each], first, second)

    assert together == makespan([(length, 1) for length in each for _ in range(count)], first, second)


def test_one_stretch_waits_for_what_the_other_work_leaves_of_the_drying() -> None:
    one = [(Fraction(168), 1)]

    assert waiting(one, Fraction(3, 20), Fraction(1, 10), Fraction("19.2"), Fraction(20)) == Fraction("0.8")
    assert waiting(one, Fraction(3, 20), Fraction(1, 10), Fraction(21), Fraction(20)) == 0


@pytest.mark.parametrize("dry", [0, 20])
def test_nothing_sided_waits_for_nothing(dry: int) -> None:
    assert makespan([], Fraction(1), Fraction(1)) == 0
