"""How long something has been owed: what is open by five buckets of days past its due day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

ZERO = Decimal("0.00")
#: The last day past due of each bucket but the last, which has no end. The first holds what is not yet late.
ENDS = (0, 30, 60, 90)


@dataclass(frozen=True, slots=True)
class Ageing:
    """What is open: not yet past due, 1 to 30 days past it, 31 to 60, 61 to 90, and over 90."""

    current: Decimal = ZERO
    to_30: Decimal = ZERO
    to_60: Decimal = ZERO
    to_90: Decimal = ZERO
    over_90: Decimal = ZERO

    @property
    def buckets(self) -> tuple[Decimal, ...]:
        """The five, youngest first."""
        return (self.current, self.to_30, self.to_60, self.to_90, self.over_90)

    @property
    def late(self) -> Decimal:
        """All that is past due."""
        return sum(self.buckets[1:], ZERO)

    @property
    def total(self) -> Decimal:
        """All of it."""
        return sum(self.buckets, ZERO)

    def __add__(self, other: Ageing) -> Ageing:
        return Ageing(*(one + two for one, two in zip(self.buckets, other.buckets, strict=True)))


def days_past(due_on: date, on: date) -> int:
    """How many days past its due day something is on a day; 0 on the due day itself and before."""
    return max((on - due_on).days, 0)


def bucket(due_on: date, on: date) -> int:
    """Which of the five buckets, from 0, something due on a day stands in."""
    late = days_past(due_on, on)
    return next((place for place, last in enumerate(ENDS) if late <= last), len(ENDS))


def aged(owed: Iterable[tuple[date, Decimal]], on: date) -> Ageing:
    """Amounts, each with its due day, in their buckets as of a day."""
    sums = [ZERO] * (len(ENDS) + 1)
    for due_on, amount in owed:
        sums[bucket(due_on, on)] += amount
    return Ageing(*sums)
