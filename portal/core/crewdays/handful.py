"""The best places for a handful of lots, exactly: every way to share them out among technicians' days.

All that a plan is judged by is a sum over the technicians' days, so the days can be gone through one after
the other, keeping for each set of lots the best way to have put just these in the days so far. It takes
as many steps as there are days times pairs of a set and a part of it that fits into one day: with eight lots
a few thousand a day, however many ways there are to combine them all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from portal.core.crewdays.hours import way
from portal.core.crewdays.places import Question, cents

#: More than all lots' days, trips and cents can come to, one above the other, so that a sum says which is
#: better in the fixed order: lots kept, price added, trips, days.
LATER = 1
TRIP = 1 << 20
CENT = TRIP << 16
UNKEPT = CENT << 44
#: A set that cannot be put anywhere: more than any plan can cost or save, so that it is never best.
NOT_YET = UNKEPT << 20


@dataclass(frozen=True, slots=True)
class Place:
    """One of the question's days as far as it is filled: minutes left, and the subdivisions visited."""

    at: int
    left: int
    visits: frozenset[str]


@dataclass(slots=True)
class Weights:
    """What each lot costs where: worked out once for a question."""

    question: Question
    unkept: list[int]
    late: list[int]
    days: list[int]
    fits: list[list[bool]]

    @classmethod
    def of(cls, question: Question) -> Weights:
        """The weights of a question."""
        lots, days = question.lots, question.days
        return cls(
            question,
            [UNKEPT + question.added_left(lot) * CENT for lot in lots],
            [cents(lot) * CENT for lot in lots],
            [(one.day - question.first).days * LATER for one in days],
            [[question.fits(lot, one) for one in days] for lot in lots],
        )

    def cost(self, lot: int, at: int) -> int:
        """What one lot costs there, without the trip, less what it costs to be left over."""
        early = self.question.lots[lot].window.before_siding(self.question.days[at].day)
        return (0 if early else self.late[lot]) + self.days[at] - self.unkept[lot]


Option = tuple[int, int]  # a set of the lots as bits, and its cost


def options(weights: Weights, lots: Sequence[int], place: Place) -> list[Option]:
    """Every set of these lots that fits into what is left of a day, with what it costs there."""
    able = [(1 << n, lot) for n, lot in enumerate(lots) if weights.fits[lot][place.at]]
    return list(_grown(weights, able, place, 0, 0, 0, place.left, place.visits)) if able else []


def _grown(
    weights: Weights, able: list[tuple[int, int]], place: Place, start: int, bits: int, cost: int, left: int,
    visits: frozenset[str],
) -> Iterator[Option]:  # fmt: skip
    question = weights.question
    for further in range(start, len(able)):
        bit, number = able[further]
        lot = question.lots[number]
        near = lot.group in visits
        rest = left - lot.minutes - way(question.travel, near=near)
        if rest < 0:
            continue
        now = cost + weights.cost(number, place.at) + (0 if near else TRIP)
        yield bits | bit, now
        known = visits | {lot.group} if lot.group else visits
        yield from _grown(weights, able, place, further + 1, bits | bit, now, rest, known)


def steps_of(found: Sequence[Sequence[Option]], lots: int) -> int:
    """How many steps it takes to share out so many lots with these options."""
    return sum(1 << (lots - bits.bit_count()) for one in found for bits, _cost in one)


def share_out(
    found: Sequence[Sequence[Option]], places: Sequence[Place], lots: int
) -> tuple[int, dict[int, int]]:
    """What the best places cost, and the places: by each lot's number in the handful, the question's day.

    Who is left over is not in it, and costs nothing here: see `Weights.cost`. Of plans that are equally
    good it is the one that leaves the earlier days of the list alone.
    """
    best, chosen, everyone = [NOT_YET] * (1 << lots), [], (1 << lots) - 1
    best[0] = 0
    for one in found:
        before, taken = list(best), [0] * (1 << lots)
        for bits, cost in one:
            others = rest = everyone & ~bits
            while True:
                now = before[others] + cost
                if now < best[others | bits]:
                    best[others | bits], taken[others | bits] = now, bits
                if not others:
                    break
                others = (others - 1) & rest
        chosen.append(taken)
    worth, bits = min((worth, bits) for bits, worth in enumerate(best))
    return worth, _followed(chosen, places, bits)


def _followed(chosen: list[list[int]], places: Sequence[Place], bits: int) -> dict[int, int]:
    """Back from the last day to the first: what each of them took."""
    plan: dict[int, int] = {}
    for taken, place in zip(reversed(chosen), reversed(places), strict=True):
        here = taken[bits]
        plan |= {n: place.at for n in range(here.bit_length()) if here >> n & 1}
        bits &= ~here
    return plan
