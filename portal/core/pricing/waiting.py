"""The price of waiting: what a quote comes to once siding is on, and the last good day before that.

What it comes to is what the invoice would say if every wall that was open or wrapped when quoted were found
sided: by the siding clause with its cap and the minimum charge, discount and tax on all of it. So what is
saved by not waiting is what the invoice would add, to the cent.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from portal.core.documents import QuoteDocument
from portal.core.pricing.billed import Priced, differences_found, owed_with

FRIDAY = 4


@dataclass(frozen=True, slots=True)
class Days:
    """The days that count for a treatment, seen from `today`. `days_off` are the office's own."""

    today: date
    siding_starts: date
    insulation_starts: date | None = None
    days_off: tuple[date, ...] = ()

    @property
    def insulation_first(self) -> bool:
        """Whether insulation closes the frame before any siding goes on."""
        return self.insulation_starts is not None and self.insulation_starts < self.siding_starts

    @property
    def closing(self) -> date:
        """The day before which to treat: siding starts, or insulation where that comes first."""
        return min(self.siding_starts, self.insulation_starts or self.siding_starts)

    @property
    def last_good(self) -> date:
        """The last working day on which every wall can still be reached from outside."""
        return working_day_before(self.closing, self.days_off)

    @property
    def passed_over(self) -> tuple[date, ...]:
        """The office's days off because of which the last good day is not a later one."""
        between = {day for day in self.days_off if self.last_good < day < self.closing}
        return tuple(sorted(day for day in between if day.weekday() <= FRIDAY))

    @property
    def past(self) -> bool:
        """Whether the last good day is over."""
        return self.last_good < self.today


@dataclass(frozen=True, slots=True)
class Cost:
    """A quote's price with the siding as quoted, and `after` siding went on everywhere; in `currency`."""

    currency: str
    now: Decimal
    after: Decimal

    @property
    def saving(self) -> Decimal:
        """What treating before the siding saves. Below zero where pulling wrap back is the dearer work."""
        return self.after - self.now


def cost_of_waiting(quote: QuoteDocument | Priced) -> Cost:
    """What the invoice of this quote would come to with every wall found sided, beside what was quoted."""
    differences = differences_found(quote, {wall.key: "sided" for wall in quote.walls})
    after = owed_with(quote, differences).total
    return Cost(quote.offer.currency, quote.offer.total, after)


def working_day_before(day: date, days_off: Collection[date] = ()) -> date:
    """The last Monday to Friday before a day that is none of the office's days off."""
    before = day
    # The calendar's own first day, a Monday, has none before it.
    while before > date.min:
        before = date.fromordinal(before.toordinal() - 1)
        if before.weekday() <= FRIDAY and before not in days_off:
            break
    return before
