"""The coat clock: whoever does what it says waits no longer than the estimate reckons, which is the least.

The least is found by trying every order (for few stretches), and by Johnson's rule for two machines (S. M.
Johnson, "Optimal two- and three-stage production schedules with setup times included", 1954). 20 minutes
between the coats: common practice of the trade, no source.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.treatment.coats import (
    INTERIOR,
    Coat,
    by_shrinking_length,
    next_coat,
    order,
    read_coats,
    too_early,
)
from portal.core.treatment.minutes import longest_first, waiting

EIGHT = Fraction(480)
DRY = Fraction(20)
lengths = st.lists(st.integers(2, 60).map(Fraction), min_size=1, max_size=5)
paces = st.fractions(Fraction(1, 20), Fraction(1, 2), max_denominator=20)


def follow(coats: list[Coat], first: Fraction, second: Fraction, dry: Fraction) -> Fraction:
    """Do what the clock says until it says done; the minutes that were waited."""
    held, now, waited = {c.key: c for c in coats}, EIGHT, Fraction(0)
    for _ in range(4 * len(coats) + 2):
        says = next_coat(list(held.values()), now, dry, longest_first(first, second))
        if says.act == "done":
            return waited
        if says.act == "wait":
            assert says.at is not None and says.at > now
            waited, now = waited + says.at - now, says.at
            continue
        coat = held[says.key]
        ends = now + coat.feet * (first if says.coat == "first" else second)
        if says.coat == "second":
            assert coat.first[1] is not None and now >= coat.first[1] + dry
        held[says.key] = replace(coat, **{says.coat: (now, ends)})
        now = ends
    raise AssertionError("it never says done")


@given(lengths, lengths, paces, paces, st.integers(0, 60).map(Fraction))
def test_who_follows_the_clock_waits_as_long_as_the_estimate_reckons(
    twice: list[Fraction], once: list[Fraction], first: Fraction, second: Fraction, dry: Fraction
) -> None:
    coats = [Coat(f"t{n}", feet, True) for n, feet in enumerate(twice)]
    coats += [Coat(f"o{n}", feet, False) for n, feet in enumerate(once)]
    other = sum(once, Fraction(0)) * first

    reckoned = waiting([(feet, 1) for feet in twice], first, second, other, dry)

    assert follow(coats, first, second, dry) == reckoned


@given(st.lists(st.integers(2, 60).map(Fraction), min_size=1, max_size=4), paces, paces)
def test_no_order_of_the_stretches_waits_less(
    twice: list[Fraction], first: Fraction, second: Fraction
) -> None:
    def waited(ordered: tuple[Fraction, ...]) -> Fraction:
        now, ends = EIGHT, []
        for feet in ordered:
            now += feet * first
            ends.append(now)
        waits = Fraction(0)
        for feet, end in zip(ordered, ends, strict=True):
            wait = max(Fraction(0), end + DRY - now)
            waits, now = waits + wait, now + wait + feet * second
        return waits

    followed = follow([Coat(f"t{n}", feet, True) for n, feet in enumerate(twice)], first, second, DRY)

    assert followed == min(waited(ordered) for ordered in permutations(twice))


def at(clock: str) -> Fraction:
    hours, minutes = clock.split(":")
    return Fraction(int(hours) * 60 + int(minutes))


FIRSTS = {"first.S.end": "08:06", "first.E.end": "08:10", "first.N.end": "08:19"}
WALLS = [("N", Fraction(57), False), ("S", Fraction(40), True), ("E", Fraction(27), True)]


@pytest.mark.parametrize(
    ("values", "now", "act", "key"),
    [
        ({}, "08:00", "first", "S"),
        ({"first.S.start": "08:00"}, "08:01", "finish", "S"),
        ({"first.S.start": "08:00", "first.S.end": "08:06"}, "08:06", "first", "E"),
        ({"first.S.end": "08:06", "first.E.end": "08:10"}, "08:30", "first", "N"),
        (FIRSTS, "08:19", "first", INTERIOR),
        (FIRSTS | {"interior.end": "08:24"}, "08:25", "wait", "S"),
        (FIRSTS | {"interior.end": "08:24"}, "08:26", "second", "S"),
        (FIRSTS | {"interior.end": "08:24", "second.S.end": "08:31"}, "08:31", "second", "E"),
        (FIRSTS | {"interior.end": "08:24", "second.S.end": "08:31", "second.E.end": "08:34"},
         "08:34", "done", ""),
        ({"first.S.end": "8"}, "08:00", "first", "S"),
    ],
)  # fmt: skip
def test_the_clock_says_what_to_do_now(values: dict[str, str], now: str, act: str, key: str) -> None:
    coats = read_coats(WALLS, Fraction(128), values)

    says = next_coat(coats, at(now), DRY, True)

    assert (says.act, says.key) == (act, key)


def test_where_the_second_coat_is_the_slower_the_shortest_stretch_is_first() -> None:
    coats = read_coats(WALLS, Fraction(0), {})

    assert [c.key for c in order(coats, False)] == ["E", "S", "N"]
    assert [c.key for c in order(coats, True)] == ["S", "E", "N"]


@pytest.mark.parametrize(
    ("ended", "start", "dry", "earliest"),
    [
        ("08:06", "08:25", "20", "08:26"), ("08:06", "08:26", "20", ""), ("08:06", "08:13", "7.5", "08:14"),
        ("08:06", "08:14", "7.5", ""), ("", "08:00", "20", ""), ("08:06", "", "20", ""), ("8", "8", "20", ""),
        # Around midnight the whole evidence, which knows the days, has to judge.
        ("23:50", "00:05", "20", ""), ("08:06", "08:00", "20", "08:26"),
    ],
)  # fmt: skip
def test_a_second_coat_is_too_early_before_the_first_is_dry(
    ended: str, start: str, dry: str, earliest: str
) -> None:
    assert too_early({"first.S.end": ended}, "S", start, Decimal(dry)) == earliest


@pytest.mark.parametrize(("second", "expected"), [("5.70", True), ("30.00", False)])
def test_the_direction_is_that_of_the_pace_in_the_estimate(second: str, expected: bool) -> None:
    estimate = {"feet": {"second_coat": "57.00", "total": "296.00"},
                "minutes": {"first_coat": "44.40", "second_coat": second}}  # fmt: skip

    assert by_shrinking_length(estimate) is expected
    assert by_shrinking_length({"feet": {"second_coat": "0.00", "total": "296.00"}, "minutes": {}}) is True
