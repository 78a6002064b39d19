"""The benchmark measures what it says it does."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest

from tests.bench import harness
from tests.bench.__main__ import as_json, line
from tests.bench.harness import Pair, Result, Row, measure


def a_row(floor_ms: float = 1, subject_ms: float = 3, aim: float = 4, why: str = "") -> Row:
    def make() -> Iterator[Pair]:
        yield Pair(lambda: time.sleep(floor_ms / 1000), lambda: time.sleep(subject_ms / 1000), turns=5)

    return Row("sleeping longer", "sleeping", aim, why, make)


def test_three_times_as_long_is_a_ratio_of_about_three() -> None:
    result = measure(a_row(floor_ms=2, subject_ms=6), sample_ns=1)

    assert 2 < result.ratio < 4
    assert result.low <= result.ratio <= result.high


def test_very_short_calls_are_repeated_until_they_can_be_measured() -> None:
    def make() -> Iterator[Pair]:
        yield Pair(lambda: None, lambda: None, turns=5)

    result = measure(Row("nothing", "nothing", 2, "", make), sample_ns=1_000_000)

    assert 0.3 < result.ratio < 3


def test_what_a_row_made_is_taken_down_again_even_when_it_fails() -> None:
    gone = []

    def make() -> Iterator[Pair]:
        yield Pair(lambda: None, lambda: 1 / 0)
        gone.append(True)

    with pytest.raises(ZeroDivisionError):
        measure(Row("breaks", "nothing", 1, "", make), sample_ns=1)

    assert gone == [True]


def test_a_row_out_of_reach_says_by_how_much_and_why() -> None:
    result = Result(a_row(aim=4, why="the library draws each page twice"), ratio=6, low=5.5, high=6.5)

    assert not result.within
    assert result.says == "out of reach, 1.50 times the aim: the library draws each page twice"


def test_a_result_names_ratios_and_no_seconds() -> None:
    result = Result(a_row(), ratio=3, low=2.9, high=3.1)

    assert "3.00x" in line(result) and "within" in line(result)
    assert as_json(result)["ratio"] == 3
    assert "second" not in line(result).lower()


def test_a_function_becomes_a_row() -> None:
    before = list(harness.ROWS)
    try:

        @harness.row("a new one", against="an old one", aim=2)
        def new_one() -> Iterator[Pair]:
            yield Pair(lambda: None, lambda: None)

        assert [r.name for r in harness.ROWS[len(before) :]] == ["a new one"]
    finally:
        harness.ROWS[:] = before
