"""Rows, and how a ratio is measured: floor and subject in turns, the median of the turns' ratios."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

TURNS = 15
SHORTEST_SAMPLE_NS = 20_000_000  # below this, the clock and the scheduler weigh too much


@dataclass(frozen=True)
class Pair:
    """What is measured: calling `subject` against calling `floor`. `turns` may be fewer for slow ones."""

    floor: Callable[[], object]
    subject: Callable[[], object]
    turns: int = TURNS


@dataclass(frozen=True)
class Row:
    """One line of the benchmark. `make` yields the pair once and then cleans up.

    `million`: it loads a million records first, which takes minutes, and is run only where asked for.
    """

    name: str
    against: str
    aim: float
    why: str
    make: Callable[[], Iterator[Pair]]
    million: bool = False


@dataclass(frozen=True)
class Result:
    """What came out: the median ratio, and the quarters beside it as a sign of how steady it was."""

    row: Row
    ratio: float
    low: float
    high: float

    @property
    def within(self) -> bool:
        """Whether the aim is met."""
        return self.ratio <= self.row.aim

    @property
    def says(self) -> str:
        """In words: met, or by how much it is out of reach and why."""
        if self.within:
            return "within"
        over = f"{self.ratio / self.row.aim:.2f} times the aim"
        return f"out of reach, {over}: {self.row.why or 'nobody has said why yet'}"


ROWS: list[Row] = []


def row(
    name: str, *, against: str, aim: float, why: str = "", million: bool = False
) -> Callable[[Callable[[], Iterator[Pair]]], Callable[[], Iterator[Pair]]]:
    """Make a generator function a row of the benchmark."""

    def register(make: Callable[[], Iterator[Pair]]) -> Callable[[], Iterator[Pair]]:
        ROWS.append(Row(name, against, aim, why, make, million))
        return make

    return register


def measure(asked: Row, clock: Callable[[], int] = time.perf_counter_ns) -> Result:
    """Run one row. Each turn measures both, in alternating order, so that a drift meets them alike.

    `clock` gives nanoseconds; tests hand in one that they turn themselves.
    """
    with _made(asked) as pair:
        floor, subject = _Sample(pair.floor, clock), _Sample(pair.subject, clock)
        ratios = []
        for turn in range(pair.turns):
            first, second = (subject, floor) if turn % 2 else (floor, subject)
            taken = {first: first.take(), second: second.take()}
            ratios.append(taken[subject] / taken[floor])
    low, middle, high = statistics.quantiles(ratios, n=4) if len(ratios) > 1 else ratios * 3
    return Result(asked, middle, low, high)


@contextmanager
def _made(asked: Row) -> Iterator[Pair]:
    making = asked.make()
    try:
        yield next(making)
    finally:
        for _ in making:  # what stands behind the yield takes things down
            raise RuntimeError(f"row “{asked.name}” yields more than one pair")


class _Sample:
    """A function, and how often to call it so that the clock can tell how long it takes."""

    def __init__(self, function: Callable[[], object], clock: Callable[[], int]) -> None:
        self._function, self._clock, self._calls = function, clock, 1
        function()  # the first call warms up, and does not count
        while (taken := self.take() * self._calls) < SHORTEST_SAMPLE_NS:
            wished = int(self._calls * SHORTEST_SAMPLE_NS / max(taken, 1)) + 1
            self._calls = max(self._calls * 2, min(self._calls * 100, wished))

    def take(self) -> float:
        """Nanoseconds of one call, from several in a row, with the garbage of others collected before."""
        gc.collect()
        begun = self._clock()
        for _ in range(self._calls):
            self._function()
        return (self._clock() - begun) / self._calls
