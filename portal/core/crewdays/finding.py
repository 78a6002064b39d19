"""Finds days for the lots that have none.

In this order: as many lots as can be within their windows, the least price added by siding, the fewest trips
(days of a technician by subdivision), the earliest days. Few lots are settled exactly; of many, handfuls are,
one after the other, until as many steps are taken as a person waits for. There is no luck in it and no clock:
the same question has the same answer.
"""

from __future__ import annotations

from dataclasses import dataclass

from portal.core.crewdays.handful import Weights
from portal.core.crewdays.places import CrewDay, Question, Score, Unbooked
from portal.core.crewdays.search import Search

#: As many steps as are taken at most: about a second of them on a small machine.
MOST_STEPS = 8_000_000


@dataclass(frozen=True, slots=True)
class Found:
    """Days that were found. `best`: that there is nothing better was gone through, not only looked for."""

    placed: tuple[tuple[Unbooked, CrewDay], ...]
    unkept: tuple[Unbooked, ...]
    score: Score
    best: bool


def find(question: Question, most_steps: int = MOST_STEPS) -> Found:
    """The days of a question's lots, in the order of the days."""
    weights = Weights.of(question)
    search = Search(weights, most_steps)
    everyone = [n for n, fits in enumerate(weights.fits) if any(fits)]
    best = search.settle_exactly(everyone)
    if not best:
        search.improve(everyone)
    placed = sorted((at, n) for n, at in search.plan.items())
    lots, days = question.lots, question.days
    return Found(
        tuple((lots[n], days[at]) for at, n in placed),
        tuple(lot for n, lot in enumerate(lots) if n not in search.plan), question.score(search.plan), best,
    )  # fmt: skip
