"""Money by the week: what came, what is owed since when, what falls due, what is about to be billed.

Weeks begin on Monday (ISO 8601). Every amount that is owed stands once: late in the week in which it was due,
or due in the week to come; the first week holds all that is older, and the last all that is further off.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

ZERO = Decimal("0.00")
#: Whole weeks that are shown before and after this one.
BEFORE, AFTER = 5, 5
WEEK = timedelta(days=7)
Dated = Iterable[tuple[date, Decimal]]


@dataclass(frozen=True, slots=True)
class Week:
    """A week, by its Monday. `first` is None for all that was before, `last` for all that comes after."""

    first: date | None
    last: date | None
    came: Decimal = ZERO
    late: Decimal = ZERO
    due: Decimal = ZERO
    to_bill: Decimal = ZERO

    @property
    def ahead(self) -> Decimal:
        """What is to be expected: what falls due, and what will be billed."""
        return self.due + self.to_bill


def monday(day: date) -> date:
    """The first day of a day's week."""
    return day - timedelta(days=day.weekday())


def first_shown(today: date) -> date:
    """The first day of the first whole week that is shown."""
    return monday(today) - BEFORE * WEEK


def by_week(today: date, came: Dated, owed: Dated, to_bill: Dated) -> tuple[Week, ...]:
    """The weeks around today with what stands in each. What came earlier than they begin is left out.

    What should have been billed on a day before today is still to come: it stands in this week.
    """
    start, count = first_shown(today), BEFORE + 1 + AFTER
    whole = [Week(start + n * WEEK, start + n * WEEK + timedelta(days=6)) for n in range(count)]
    assert whole[0].first and whole[-1].last
    weeks = [
        Week(None, whole[0].first - timedelta(days=1)), *whole,
        Week(whole[-1].last + timedelta(days=1), None),
    ]  # fmt: skip

    def place(day: date) -> int:
        return min(max((day - start).days // 7 + 1, 0), count + 1)

    for day, amount in came:
        if day >= start:
            week = weeks[place(day)]
            weeks[place(day)] = replace(week, came=week.came + amount)
    for day, amount in owed:
        week = weeks[place(day)]
        weeks[place(day)] = (
            replace(week, late=week.late + amount) if day < today else replace(week, due=week.due + amount)
        )
    for day, amount in to_bill:
        at = place(max(day, today))
        weeks[at] = replace(weeks[at], to_bill=weeks[at].to_bill + amount)
    return tuple(weeks)
