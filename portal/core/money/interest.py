"""Interest on what is paid late, by the terms that stand on the invoice. Exact; rounded once, half up.

Counting goes from the day after the due day, or after the days of grace, to the day of payment, that day
with it. The two ways over 360 days are the formulas of 5 CFR 1315.17: simple, and added to what is owed
after every 30 days (1315.10(a)(3)), so that whole periods are r/12 each and the days left over r/360 each.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from portal.core.money.amount import cents
from portal.core.words import Said, say

#: How the days are counted: simple over 365 or 360 days, or over 360 and compounded every 30 days.
COUNTS = ("365", "360", "30/360")
PERIOD = 30
DAY = timedelta(days=1)
#: What an invoice asked for by day: each change of it on its day, the invoice itself the first.
Changes = Iterable[tuple[date, Decimal]]


@dataclass(frozen=True, slots=True)
class InterestTerms:
    """What an invoice says of interest: percent a year, days of grace past due, and how days are counted."""

    percent: Decimal
    grace_days: int
    counts: str

    def first_day(self, due_on: date) -> date:
        """The first day that bears interest."""
        return due_on + timedelta(days=self.grace_days) + DAY

    @property
    def year(self) -> int:
        """How many days the percent is spread over."""
        return 365 if self.counts == "365" else 360


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days, the first and the last with them, on which the same amount bore interest."""

    first: date
    last: date
    base: Decimal
    amount: Decimal

    @property
    def days(self) -> int:
        """How many."""
        return (self.last - self.first).days + 1


@dataclass(frozen=True, slots=True)
class Accrued:
    """What came together from a first to a last day, to the cent, and how."""

    first: date
    last: date
    amount: Decimal
    stretches: tuple[Stretch, ...]


def accrued(terms: InterestTerms, changes: Changes, first: date, last: date) -> Accrued:
    """Interest of the days from `first` to `last`, both counted.

    Money that comes on a day bears interest up to that day, so a change counts from the day after. Interest
    that was added to what is owed bears interest as long as anything is owed.
    """
    by_day = sorted(changes)
    whole, added, waiting = Fraction(0), Fraction(0), Fraction(0)
    stretches = []
    for begins, ends in _pieces(terms, [day for day, _ in by_day], first, last):
        owed = sum((change for day, change in by_day if day < begins), Decimal(0))
        base = Fraction(owed) + added if owed > 0 else Fraction(0)
        days = (ends - begins).days + 1
        part = base * Fraction(terms.percent) * days / (100 * terms.year)
        whole, waiting = whole + part, waiting + part
        if part:
            stretches.append(Stretch(begins, ends, cents(base), cents(part)))
        if terms.counts == "30/360" and ((ends - first).days + 1) % PERIOD == 0:
            added, waiting = added + waiting, Fraction(0)
    return Accrued(first, last, cents(whole), tuple(stretches))


def _pieces(
    terms: InterestTerms, days: Sequence[date], first: date, last: date
) -> Iterable[tuple[date, date]]:
    """The days in pieces on each of which one amount bears interest."""
    cuts = {day + DAY for day in days if first < day + DAY <= last}
    if terms.counts == "30/360":
        count = (last - first).days // PERIOD
        cuts |= {first + timedelta(days=PERIOD * n) for n in range(1, count + 1)}
    starts = [first, *sorted(cuts)] if first <= last else []
    return zip(starts, [*(day - DAY for day in starts[1:]), last], strict=False)


def interest_words(terms: InterestTerms) -> Said:
    """What an invoice says of interest, in one sentence."""
    percent = f"{terms.percent.normalize():f}"
    late = (
        say("What is paid later than {days} days after its due day", days=terms.grace_days)
        if terms.grace_days else say("What is paid after its due day")
    )  # fmt: skip
    counted = {
        "365": say("day by day over 365 days"), "360": say("day by day over 360 days"),
        "30/360": say("day by day over 360 days, added to what is owed every 30 days"),
    }[terms.counts]  # fmt: skip
    return say(
        "{late} bears {percent}% interest a year, {counted}.", late=late, percent=percent, counted=counted
    )
