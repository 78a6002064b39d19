"""Interest, due days and ageing against what is published.

Sources, with how far they were read (F: the text itself, M: from memory, C: common practice, no source):

- 5 CFR 1315.17 (F, the regulation's text as of 2001 and as the Bureau of the Fiscal Service shows it):
  simple P(r/360*d), 1,500 at 6.5 % for 10 days = 2.71; compounding P(1+r/12)^n*(1+(r/360*d))-P, 1,500 at
  6 %, n = 2, d = 15, due on April 1 and paid on June 15 = 18.83.
- 5 CFR 1315.10(a)(3) (M): what is unpaid at the end of a 30-day period is added to what is owed.
- Fiscal Service (F): due April 1, paid April 11 is ten days late, April 2 through April 11.
- Ageing by current, 1-30, 31-60, 61-90, over 90 days past due (C).
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.money.ageing import Ageing, aged, bucket
from portal.core.money.interest import InterestTerms, accrued

DUE = date(2027, 4, 1)
OWED = [(date(2027, 3, 2), D("1500.00"))]


def test_simple_interest_of_ten_days() -> None:
    # 1,500 x 0.065 / 360 x 10 = 2.7083
    terms = InterestTerms(D("6.5"), 0, "360")

    found = accrued(terms, OWED, terms.first_day(DUE), date(2027, 4, 11))

    assert found.amount == D("2.71")
    assert (found.stretches[0].first, found.stretches[0].days) == (date(2027, 4, 2), 10)


def test_interest_compounded_over_two_periods_and_fifteen_days() -> None:
    # April 2 through June 15 is 75 days: twice 30, and 15.
    # 1,500 x 1.005 x 1.005 = 1,515.0375; x (1 + 0.06 / 360 x 15) = 1,518.82509; less 1,500 = 18.82509
    terms = InterestTerms(D("6"), 0, "30/360")

    found = accrued(terms, OWED, terms.first_day(DUE), date(2027, 6, 15))

    assert found.amount == D("18.83")
    assert [(s.days, s.base) for s in found.stretches] == [
        (30, D("1500.00")), (30, D("1507.50")), (15, D("1515.04")),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("days", "place"),
    [(-400, 0), (-1, 0), (0, 0), (1, 1), (30, 1), (31, 2), (60, 2), (61, 3), (90, 3), (91, 4), (4000, 4)],
)
def test_the_five_buckets_by_days_past_due(days: int, place: int) -> None:
    assert bucket(DUE, DUE + timedelta(days=days)) == place


def test_amounts_stand_in_their_buckets_and_add_up() -> None:
    owed = [(DUE - timedelta(days=n), D(n + 1)) for n in (0, 30, 31, 90, 91)]

    found = aged([*owed, (DUE, D("0.50"))], DUE)

    assert found == Ageing(D("1.50"), D(31), D(32), D(91), D(92))
    assert (found.total, found.late) == (D("247.50"), D(246))


# Common practice, no source: part payments lower what bears interest from the day after they came.
def test_a_part_payment_lowers_what_bears_interest() -> None:
    terms = InterestTerms(D("7.3"), 0, "365")  # 0.02 % a day
    changes = [*OWED, (date(2027, 4, 11), D("-500.00")), (date(2027, 4, 21), D("-1000.00"))]

    found = accrued(terms, changes, date(2027, 4, 2), date(2027, 6, 1))

    assert [(s.days, s.base, s.amount) for s in found.stretches] == [
        (10, D("1500.00"), D("3.00")), (10, D("1000.00"), D("2.00")),
    ]  # fmt: skip
    assert found.amount == D("5.00")


def test_what_bounced_bears_interest_again_and_no_day_before_the_first_does() -> None:
    terms = InterestTerms(D("7.3"), 0, "365")
    changes = [*OWED, (date(2027, 4, 5), D("-1500.00")), (date(2027, 4, 15), D("1500.00"))]

    assert accrued(terms, changes, date(2027, 4, 2), date(2027, 4, 20)).amount == D("2.70")  # 4 and 5 days
    assert accrued(terms, changes, date(2027, 4, 2), date(2027, 4, 1)).amount == 0


@given(
    st.integers(1, 10**9).map(lambda n: D(n) / 100), st.integers(1, 3000).map(lambda n: D(n) / 100),
    st.integers(0, 1000),
)  # fmt: skip
def test_the_published_formula_and_ours_are_one(principal: D, percent: D, days: int) -> None:
    """Both of the formulas as they are written, beside ours, for any amount, percent and number of days."""
    n, d = divmod(days, 30)
    r = percent / 100
    compounded = principal * (1 + r / 12) ** n * (1 + r / 360 * d) - principal
    until = DUE + timedelta(days=days)

    for counts, expected in (("30/360", compounded), ("360", principal * r / 360 * days)):
        found = accrued(InterestTerms(percent, 0, counts), [(DUE, principal)], DUE + timedelta(1), until)
        assert abs(found.amount - expected) <= D("0.0051")
