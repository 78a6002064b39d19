"""When the next term may be offered, what it costs, and until when it runs."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from portal.core.cover.renewing import may_be_offered, next_term, runs_through
from portal.core.documents.parties import Renewal

TERMS = Renewal(years=5, fee=Decimal("180.00"), inspection=True, days_before=60, days_after=30, most=2)
END = date(2037, 5, 3)


@pytest.mark.parametrize(
    ("today", "made", "may"),
    [
        (END - timedelta(days=61), 0, False), (END - timedelta(days=60), 0, True), (END, 1, True),
        (END, 2, False), (END + timedelta(days=30), 0, True), (END + timedelta(days=31), 0, False),
    ],
)  # fmt: skip
def test_it_is_offered_within_its_days_and_so_many_times(today: date, made: int, may: bool) -> None:
    assert may_be_offered(TERMS, END, made, today) is may


def test_a_term_without_an_end_or_without_renewals_is_not_offered() -> None:
    assert not may_be_offered(TERMS, None, 0, END)
    assert not may_be_offered(None, END, 0, END)


@pytest.mark.parametrize(
    ("in_rate_book", "fee"), [("0", "180.00"), ("150", "150.00"), ("180", "180.00"), ("240", "180.00")]
)
def test_the_rate_books_price_holds_and_never_more_than_the_terms_named(in_rate_book: str, fee: str) -> None:
    assert next_term(TERMS, END, Fraction(in_rate_book)).fee == Decimal(fee)


@given(st.dates(date(2027, 1, 1), date(2100, 12, 31)), st.integers(1, 100))
def test_the_next_term_runs_on_from_the_day_after(ended_on: date, years: int) -> None:
    """Against python-dateutil: the last day of a term is the day before its anniversary."""
    terms = Renewal(years, Decimal(0), False, 60, 30, 2)
    begins = ended_on + timedelta(days=1)

    found = next_term(terms, ended_on, Fraction(0))

    anniversary = begins + relativedelta(years=years)
    ours = found.until + timedelta(days=1)
    # A term that begins on February 29 ends on February 28 of a common year: dateutil's anniversary itself.
    leap = begins.month == 2 and begins.day == 29 and anniversary.day == 28
    assert ours == anniversary + timedelta(days=1) if leap else ours == anniversary
    assert found.last_day == ended_on + timedelta(days=30)


@given(st.dates(date(2027, 1, 1), date(2100, 12, 31)), st.lists(st.integers(1, 40)), st.randoms())
def test_the_last_day_is_the_latest_paid_in_any_order_and_never_before_the_first(
    first_end: date, years: list[int], luck: Random
) -> None:
    paid = [first_end + relativedelta(years=sum(years[: n + 1])) for n in range(min(len(years), 8))]
    mixed = luck.sample(paid, len(paid))

    assert runs_through(first_end, mixed) == runs_through(first_end, paid) == (paid or [first_end])[-1]
    for n in range(len(paid)):
        assert first_end <= runs_through(first_end, paid[:n]) <= runs_through(first_end, paid[: n + 1])
