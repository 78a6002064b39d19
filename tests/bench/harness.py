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
    """One line of the benchmark. `make` yields the pair once and then cleans up."""

    name: str
    against: str
    aim: float
    why: str
    make: Callable[[], Iterator[Pair]]


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
    name: str, *, against: str, aim: float, why: str = ""
) -> Callable[[Callable[[], Iterator[Pair]]], Callable[[], Iterator[Pair]]]:
    """Make a generator function a row of the benchmark."""

    def register(make: Callable[[], Iterator[Pair]]) -> Callable[[], Iterator[Pair]]:
        ROWS.append(Row(name, against, aim, why, make))
        return make

    return register


def measure(asked: Row, sample_ns: int = SHORTEST_SAMPLE_NS) -> Result:
    """Run one row. Each turn measures both, in alternating order, so that a drift meets them alike."""
    with _made(asked) as pair:
        floor_calls, subject_calls = _calls(pair.floor, sample_ns), _calls(pair.subject, sample_ns)
        ratios = []
        for turn in range(pair.turns):
            if turn % 2:
                subject = _nanoseconds(pair.subject, subject_calls)
                floor = _nanoseconds(pair.floor, floor_calls)
            else:
                floor = _nanoseconds(pair.floor, floor_calls)
                subject = _nanoseconds(pair.subject, subject_calls)
            ratios.append(subject / floor)
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


def _calls(function: Callable[[], object], sample_ns: int) -> int:
    """How often to call in one sample; the first call, which warms up, does not count."""
    function()
    calls = 1
    while (taken := _nanoseconds(function, calls) * calls) < sample_ns:
        calls = max(calls * 2, min(calls * 100, int(calls * sample_ns / max(taken, 1)) + 1))
    return calls


def _nanoseconds(function: Callable[[], object], calls: int) -> float:
    """The time of one call, from `calls` in a row, with the garbage of others collected before."""
    gc.collect()
    begun = time.perf_counter_ns()
    for _ in range(calls):
        function()
    return (time.perf_counter_ns() - begun) / calls
