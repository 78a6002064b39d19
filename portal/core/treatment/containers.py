"""Which containers to buy: the cheapest whole ones that hold the concentrate, found exactly.

Of equal cost the set with least left over, then the fewest containers, then the one that takes
more of what is listed first.

How: call the container that costs least a gallon the *best* (of several, the largest). Any set is so
many of the others, filled up with the best. What the others cost above the best's price a gallon
is their *premium*; what is left over costs the best's price a gallon too. So sets of others are tried
in order of their premium, and the search stops when the premium alone is more than the dearest a
finished set has shown to be needed. Two sets of others that leave the same remainder against
the best's size are filled up alike: only the better is followed. That is why the need may be a
thousand gallons or a billion: nothing is counted up gallon by gallon.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd, lcm

from portal.core.errors import SillbookError

Counts = tuple[int, ...]
# Premium; extra count; what is taken (negative, so that more of an earlier one sorts first); size of
# the others together; place in the list of others from which to go on.
Entry = tuple[int, int, Counts, int, int]
# Premium with the price of what is left over; what is left over; how many containers; which.
Rank = tuple[int, int, int, Counts]
_REMEMBERED = 4096
# A second or two. Beyond it lie only shelves that nobody has: a dozen containers at one price a
# gallon, or free, whose sizes differ in the fifth decimal or further behind.
MOST_TRIED = 200_000


class TooManySets(SillbookError):
    """The sizes differ so finely that the cheapest set cannot be found in any decent time."""


@dataclass(frozen=True, slots=True)
class Container:
    """What the concentrate is sold in: gallons, and cost in the currency of the rates."""

    gallons: Fraction
    cost: Fraction


@dataclass(frozen=True, slots=True)
class _Other:
    place: int
    size: int
    premium: int
    extra_count: int


class Shelf:
    """The containers a product is sold in, ready to be searched; it remembers what it was asked."""

    def __init__(self, containers: Sequence[Container]) -> None:
        self._count = len(containers)
        sizes, self._unit = _whole([c.gallons for c in containers])
        costs, _ = _whole([c.cost for c in containers])
        best = min(range(len(sizes)), key=lambda i: (Fraction(costs[i], sizes[i]), -sizes[i], i))
        self._best, self._size, self._cost = best, sizes[best], costs[best]
        # Per whole unit of the best's size, so that everything stays a whole number: the premium is
        # cost x best size - best cost x size; `extra_count` orders sets of equal premium and gallons
        # by how many containers they come to once they are filled up with the best.
        self._others = [
            _Other(i, size, cost * self._size - self._cost * size, self._size - size)
            for i, (size, cost) in enumerate(zip(sizes, costs, strict=True))
            if (size, cost) != (self._size, self._cost)
        ]
        self._remembered: dict[int, Counts] = {}

    def cheapest(self, gallons: Fraction) -> Counts:
        """How many of each container, in the order listed, to hold `gallons` (over zero).

        Raises `TooManySets` after 200,000 tried, rather than answer with one that may not be the best.
        """
        need = ceil(gallons / self._unit)
        if need not in self._remembered:
            if len(self._remembered) >= _REMEMBERED:
                self._remembered.clear()
            self._remembered[need] = self._search(need)
        return self._remembered[need]

    def _search(self, need: int) -> Counts:
        waiting: list[Entry] = [(0, 0, (0,) * self._count, 0, 0)]
        # For each remainder the size of the smallest set tried, and the best set put in line.
        tried: dict[int, int] = {}
        lined_up: dict[int, Entry] = {}
        best: Rank | None = None
        for _ in range(MOST_TRIED):
            if not waiting:
                break
            entry = heapq.heappop(waiting)
            premium, _, taken, size, _ = entry
            if best and (premium > best[0] or (premium == best[0] and best[1] == 0)):
                break
            remainder = size % self._size
            if tried.get(remainder, size + 1) <= size:
                continue
            tried[remainder] = size
            left = size - need if size >= need else (size - need) % self._size
            if best is None or (premium + self._cost * left, left) <= best[:2]:
                rank = self._filled(
                    premium + self._cost * left, left, taken, (need + left - size) // self._size
                )
                best = min(best, rank) if best else rank
            if size < need:
                self._line_up(waiting, entry, best[0], lined_up)
        else:
            raise TooManySets
        assert best is not None
        return tuple(-count for count in best[3])

    def _filled(self, cost: int, left: int, taken: Counts, fill: int) -> Rank:
        counts = list(taken)
        counts[self._best] = -fill
        return cost, left, -sum(counts), tuple(counts)

    def _line_up(self, waiting: list[Entry], entry: Entry, limit: int, lined_up: dict[int, Entry]) -> None:
        premium, extra, taken, size, place = entry
        for further in range(place, len(self._others)):
            other = self._others[further]
            now, grown = premium + other.premium, size + other.size
            if now > limit:
                continue
            remainder = grown % self._size
            rival = lined_up.get(remainder)
            if rival and rival[3] <= grown and rival[:2] < (now, extra + other.extra_count):
                continue
            counts = list(taken)
            counts[other.place] -= 1
            # The best ones that this size stands in for: part of the order, see `extra_count`.
            counts[self._best] += other.size
            child = (now, extra + other.extra_count, tuple(counts), grown, further)
            if rival is None or child < rival:
                lined_up[remainder] = child
            heapq.heappush(waiting, child)


def _whole(values: Sequence[Fraction]) -> tuple[list[int], Fraction]:
    """The values as whole numbers of their greatest common measure, and that measure."""
    below = lcm(*(value.denominator for value in values))
    above = [value.numerator * (below // value.denominator) for value in values]
    common = gcd(*above) or 1
    return [value // common for value in above], Fraction(common, below)
