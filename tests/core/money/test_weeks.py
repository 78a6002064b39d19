"""Money by the week: every amount stands once. Weeks begin on Monday (ISO 8601)."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from portal.core.money.weeks import AFTER, BEFORE, by_week, first_shown

D = Decimal
#: A Wednesday; the week's Monday is the 8th.
TODAY = date(2027, 3, 10)
days = st.dates(date(2026, 1, 1), date(2028, 12, 31))
amounts = st.integers(1, 10_000_000).map(lambda n: D(n) / 100)
dated = st.lists(st.tuples(days, amounts), max_size=12)


def test_an_amount_stands_in_its_week_late_or_due() -> None:
    owed = [
        (date(2026, 12, 1), D("1.00")), (date(2027, 3, 1), D("2.00")), (date(2027, 3, 9), D("3.00")),
        (TODAY, D("4.00")), (date(2027, 3, 14), D("5.00")), (date(2027, 3, 15), D("6.00")),
        (date(2027, 9, 1), D("7.00")),
    ]  # fmt: skip

    weeks = by_week(TODAY, [], owed, [])

    assert [(week.first, week.late, week.due) for week in weeks if week.late or week.due] == [
        (None, D("1.00"), D("0.00")),
        (date(2027, 3, 1), D("2.00"), D("0.00")),
        (date(2027, 3, 8), D("3.00"), D("9.00")),
        (date(2027, 3, 15), D("0.00"), D("6.00")),
        (date(2027, 4, 19), D("0.00"), D("7.00")),
    ]


def test_what_should_have_been_billed_stands_in_this_week() -> None:
    weeks = by_week(TODAY, [], [], [(date(2027, 3, 2), D("8.00"))])

    assert [week.first for week in weeks if week.to_bill] == [date(2027, 3, 8)]


@given(days, dated, dated, dated)
def test_nothing_is_lost_or_told_twice(
    today: date, came: list[tuple[date, D]], owed: list[tuple[date, D]], to_bill: list[tuple[date, D]]
) -> None:
    weeks = by_week(today, came, owed, to_bill)

    assert len(weeks) == BEFORE + AFTER + 3
    assert all(week.first is None or week.first.isoweekday() == 1 for week in weeks)
    assert weeks[0].last == first_shown(today) - timedelta(days=1)
    assert weeks[BEFORE + 1].first <= today <= weeks[BEFORE + 1].last
    assert sum((week.late for week in weeks), D(0)) == sum((a for day, a in owed if day < today), D(0))
    assert sum((week.due for week in weeks), D(0)) == sum((a for day, a in owed if day >= today), D(0))
    assert sum((week.to_bill for week in weeks), D(0)) == sum((a for _day, a in to_bill), D(0))
    shown = [a for day, a in came if day >= first_shown(today)]
    assert sum((week.came for week in weeks), D(0)) == sum(shown, D(0))
