"""Better and better plans for many lots: handfuls of them put where they are best, the others in place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from portal.core.crewdays.handful import Option, Place, Weights, options, share_out, steps_of
from portal.core.crewdays.places import Unbooked

#: As many lots as one handful has at most.
HANDFUL = 6
#: When nothing helps any more, after as many handfuls to a lot, everything around two of them is taken up.
PATIENCE, TAKEN_UP = 2, 2
#: Steps that are reckoned for looking at a handful, beside those of sharing it out.
TO_LOOK = 2_000


@dataclass(slots=True)
class Search:
    """A plan as far as it has come (days by lot, both by their place), and the steps that may be taken."""

    weights: Weights
    steps: int
    plan: dict[int, int] = field(default_factory=dict)

    def settle(self, handful: Iterable[int]) -> bool:
        """Put a handful where it is best with all others where they are. Answers whether that is better."""
        lots = sorted(set(handful))
        places = self._places(lots)
        found = [options(self.weights, lots, place) for place in places]
        self.steps -= steps_of(found, len(lots)) + TO_LOOK
        worth, shared = share_out(found, places, len(lots))
        if worth >= self._worth(lots, places, found):
            return False
        for n, lot in enumerate(lots):
            self.plan.pop(lot, None)
            if n in shared:
                self.plan[lot] = shared[n]
        return True

    def settle_exactly(self, everyone: list[int]) -> bool:
        """Put all of them where they are best, if the steps are enough for it; answers whether they are."""
        if len(everyone) > 2 * HANDFUL:
            return False
        places = self._places(everyone)
        found = [options(self.weights, everyone, place) for place in places]
        if steps_of(found, len(everyone)) > self.steps:
            return False
        _worth, shared = share_out(found, places, len(everyone))
        self.plan = {everyone[n]: at for n, at in shared.items()}
        return True

    def improve(self, everyone: list[int]) -> None:
        """Put all lots somewhere, first those whose window shuts first; then better as far as steps go."""
        order = sorted(everyone, key=self._presses)
        for start in range(0, len(order), HANDFUL):
            self.settle(order[start : start + HANDFUL])
        turn = turns()
        self._climb(everyone, turn)
        best, score = dict(self.plan), self.weights.question.score
        while self.steps > 0:
            self._take_up(everyone, turn)
            self._climb(everyone, turn)
            if score(self.plan) < score(best):
                best = dict(self.plan)
            self.plan = dict(best)

    def _climb(self, everyone: list[int], turn: Iterator[int]) -> None:
        """Settle handfuls until for a while none of them helps."""
        idle = 0
        while idle < PATIENCE * len(everyone) and self.steps > 0:
            idle = 0 if self.settle(self._handful(everyone, turn)) else idle + 1

    def _take_up(self, everyone: list[int], turn: Iterator[int]) -> None:
        """Take up those that may be in each other's way, and put them down one by one in another order."""
        taken = sorted({n for _ in range(TAKEN_UP) for n in self._handful(everyone, turn)})
        self.plan = {n: at for n, at in self.plan.items() if n not in taken}
        while taken:
            self.settle([taken.pop(next(turn) % len(taken))])

    def _places(self, lots: list[int]) -> list[Place]:
        """The days that any of these could have, as all others leave them."""
        question, fits = self.weights.question, self.weights.fits
        there: dict[int, list[Unbooked]] = {}
        for n, at in self.plan.items():
            if n not in lots:
                there.setdefault(at, []).append(question.lots[n])
        places = []
        for at, day in enumerate(question.days):
            if any(fits[n][at] for n in lots):
                others = there.get(at, ())
                visits = day.visits | {lot.group for lot in others if lot.group}
                left = day.left - question.takes(others, day) if others else day.left
                places.append(Place(at, left, visits))
        return places

    def _worth(self, lots: list[int], places: list[Place], found: list[list[Option]]) -> int:
        """What it costs to leave a handful where it is."""
        worth = 0
        for place, able in zip(places, found, strict=True):
            here = sum(1 << n for n, lot in enumerate(lots) if self.plan.get(lot) == place.at)
            worth += dict(able)[here] if here else 0
        return worth

    def _presses(self, n: int) -> tuple[object, ...]:
        lot = self.weights.question.lots[n]
        return (*lot.window.narrows, lot.group, lot.key)

    def _handful(self, everyone: list[int], turn: Iterator[int]) -> list[int]:
        """A lot, those on some of the days that it could have, and others of its subdivision.

        Every second time it is one that is left over or late and need not be, where there is any.
        """
        wanting = [n for n in everyone if self._better(n)] if next(turn) % 2 else []
        n = _one_of(wanting or everyone, turn)
        lots, on = self.weights.question.lots, self._on()
        able = self._better(n) if wanting else [at for at, fits in enumerate(self.weights.fits[n]) if fits]
        found = [n]
        if next(turn) % 2 and lots[n].group:
            near = [m for m in everyone if lots[m].group == lots[n].group]
            found += [_one_of(near, turn) for _ in range(2)]
        while able and len(set(found)) < HANDFUL:
            found += on.get(able.pop(next(turn) % len(able)), ())
        return list(dict.fromkeys(found))[:HANDFUL]

    def _on(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for n, at in self.plan.items():
            found.setdefault(at, []).append(n)
        return found

    def _better(self, n: int) -> list[int]:
        """The days on which a lot that is left over, or treated after its siding, would be neither."""
        question, fits = self.weights.question, self.weights.fits[n]
        lot, days = question.lots[n], question.days
        if n not in self.plan:
            return [at for at in range(len(days)) if fits[at]]
        if not lot.adds or lot.window.before_siding(days[self.plan[n]].day):
            return []
        return [at for at in range(len(days)) if fits[at] and lot.window.before_siding(days[at].day)]


def _one_of(some: list[int], turn: Iterator[int]) -> int:
    return some[next(turn) % len(some)]


def turns() -> Iterator[int]:
    """Numbers in no order that are the same each time (Park and Miller's generator of 1988, from memory)."""
    one = 1
    while True:
        one = one * 48271 % 2147483647
        yield one >> 4
