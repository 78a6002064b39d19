"""By which day what is open is due. Common practice, no source: what is due first is paid first."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from portal.core.money.dues import Due, Release, due_by, dues

FIRST, SECOND, THIRD = date(2027, 6, 3), date(2027, 7, 20), date(2027, 9, 1)
RELEASES = (Release(date(2027, 8, 2), THIRD, D("30.00")), Release(date(2027, 6, 20), SECOND, D("20.00")))


def test_without_a_release_all_of_it_is_due_on_the_invoices_own_day() -> None:
    assert dues(FIRST, D("540.51")) == (Due(FIRST, D("540.51")),)
    assert dues(FIRST, D("0.00")) == (Due(FIRST, D("0.00")),)


def test_what_was_released_is_due_on_its_own_day_and_paid_last() -> None:
    assert dues(FIRST, D("540.51"), RELEASES) == (
        Due(FIRST, D("490.51")), Due(SECOND, D("20.00")), Due(THIRD, D("30.00")),
    )  # fmt: skip
    assert dues(FIRST, D("50.00"), RELEASES) == (Due(SECOND, D("20.00")), Due(THIRD, D("30.00")))
    assert dues(FIRST, D("12.50"), RELEASES) == (Due(THIRD, D("12.50")),)
    assert dues(FIRST, D("0.00"), RELEASES) == (Due(FIRST, D("0.00")),)


def test_what_is_due_by_a_day_is_what_is_late_after_it() -> None:
    parts = dues(FIRST, D("540.51"), RELEASES)
    by = [due_by(parts, day) for day in (date(2027, 6, 2), FIRST, SECOND, THIRD)]
    assert by == [D(0), D("490.51"), D("510.51"), D("540.51")]


AMOUNTS = st.decimals(min_value=0, max_value=2000, places=2)
DAYS = st.dates(date(2027, 1, 1), date(2028, 1, 1))


@given(AMOUNTS, DAYS, st.lists(st.builds(Release, DAYS, DAYS, AMOUNTS), max_size=4))
def test_the_parts_are_all_of_what_is_open_in_the_order_of_their_days(
    open_: D, day: date, releases: list[Release]
) -> None:
    parts = dues(day, open_, releases)
    assert sum(part.amount for part in parts) == open_
    assert [part.day for part in parts] == sorted(part.day for part in parts)
