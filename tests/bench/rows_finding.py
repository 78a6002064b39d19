"""The row of finding days: 60 lots and three technicians for three weeks."""

from __future__ import annotations

from collections.abc import Iterator

from portal.core.crewdays.finding import MOST_STEPS, find
from tests.bench.harness import Pair, row
from tests.core.crewdays.seasons import season

LOTS = 60


@row(
    "days found for 60 lots and 3 technicians in 3 weeks", aim=4,
    against="as many bare comparisons as it may take steps",
    why="beside its steps, every handful is looked at: which days are left to it, and what fits into them",
)  # fmt: skip
def days_found() -> Iterator[Pair]:
    """The search takes all the steps it may; the floor adds and compares as often, and keeps the least."""
    question = season(2, LOTS, minutes=(150, 320))

    def bare() -> int:
        least = 0
        for step in range(MOST_STEPS):
            now = step + least
            if now < least:
                least = now
        return least

    assert len(find(question).placed) > LOTS * 0.9  # it is really done
    yield Pair(floor=bare, subject=lambda: find(question), turns=5)
