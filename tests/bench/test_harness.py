"""The benchmark measures what it says it does."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest

from tests.bench import harness
from tests.bench.__main__ import as_json, line
from tests.bench.harness import Pair, Result, Row, measure

pytestmark = pytest.mark.slow


@pytest.fixture(autouse=True)
def nothing_to_tidy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Among thousands of tests' leftovers each sweep takes half a second, and a clock by hand needs none."""
    monkeypatch.setattr("tests.bench.harness.gc.collect", lambda: 0)


class HandClock:
    """A clock that moves only when it is told to."""

    def __init__(self) -> None:
        self.now = 0

    def __call__(self) -> int:
        return self.now

    def work(self, nanoseconds: int) -> None:
        self.now += nanoseconds


def a_row(clock: HandClock, floor: int = 1, subject: int = 3, aim: float = 4, why: str = "") -> Row:
    def make() -> Iterator[Pair]:
        yield Pair(lambda: clock.work(floor), lambda: clock.work(subject), turns=5)

    return Row("three steps", "one step", aim, why, make)


@pytest.mark.parametrize("floor", [7_000, 500_000, 30_000_000])
def test_three_times_as_long_is_a_ratio_of_three_however_short_a_call_is(floor: int) -> None:
    clock = HandClock()

    result = measure(a_row(clock, floor, 3 * floor), clock)

    assert (result.low, result.ratio, result.high) == (3, 3, 3)


def test_one_slow_turn_does_not_move_the_middle() -> None:
    clock, calls = HandClock(), itertools.count()

    def stumbles() -> None:
        clock.work(900_000_000 if next(calls) == 4 else 60_000_000)

    def make() -> Iterator[Pair]:
        yield Pair(lambda: clock.work(20_000_000), stumbles, turns=9)

    assert measure(Row("stumbles once", "walks", 4, "", make), clock).ratio == 3


def test_what_a_row_made_is_taken_down_again_even_when_it_fails() -> None:
    gone = []

    def make() -> Iterator[Pair]:
        yield Pair(lambda: None, lambda: 1 / 0)
        gone.append(True)

    with pytest.raises(ZeroDivisionError):
        measure(Row("breaks", "nothing", 1, "", make))

    assert gone == [True]


def test_a_row_out_of_reach_says_by_how_much_and_why() -> None:
    result = Result(
        a_row(HandClock(), aim=4, why="the library draws each page twice"), ratio=6, low=5.5, high=6.5
    )

    assert not result.within
    assert result.says == "out of reach, 1.50 times the aim: the library draws each page twice"


def test_a_result_names_ratios_and_no_seconds() -> None:
    result = Result(a_row(HandClock()), ratio=3, low=2.9, high=3.1)

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
