"""Days and amounts of payment terms against what is published."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.money.terms import (
    BillingTerms,
    deposit_of,
    due_on,
    end_of_month,
    prompt_payment,
    retained_of,
)


def test_net_thirty():
    """5 CFR part 1315: received on 25 January 2019, net 30 falls due on 24 February 2019."""
    assert due_on(BillingTerms(days=30), date(2019, 1, 25)) == date(2019, 2, 24)


@pytest.mark.parametrize(
    ("issued", "days", "due"),
    [
        # Common practice, no source: the days run from the last day of the month of the invoice.
        (date(2026, 11, 3), 30, date(2026, 12, 30)),
        (date(2026, 11, 30), 0, date(2026, 11, 30)),
        (date(2028, 2, 1), 10, date(2028, 3, 10)),
        (date(2026, 12, 31), 15, date(2027, 1, 15)),
    ],
)
def test_end_of_month(issued, days, due):
    assert due_on(BillingTerms(days=days, runs_from="month end"), issued) == due


@given(st.dates(date(1990, 1, 1), date(2200, 1, 1)))
def test_the_end_of_a_month_is_the_day_before_another(day):
    last = end_of_month(day)
    assert last.month == day.month and last.year == day.year
    assert (last + timedelta(days=1)).day == 1


def test_two_percent_within_ten_days():
    """Two in ten, net thirty, on 1,000.00 (common practice, no source): 20.00 off until the tenth day."""
    terms = BillingTerms(days=30, prompt_percent=Decimal(2), prompt_days=10)
    off = prompt_payment(terms, date(2026, 11, 26), Decimal("1000.00"))
    assert off is not None
    assert (off.until, off.amount) == (date(2026, 12, 6), Decimal("20.00"))
    assert prompt_payment(BillingTerms(days=30), date(2026, 11, 26), Decimal("1000.00")) is None


def test_a_discount_rounds_half_away_from_zero():
    """Streamlined Sales and Use Tax Agreement, section 324: half a cent goes up. 0.25 at 2% is 0.005."""
    half = prompt_payment(BillingTerms(days=1, prompt_percent=Decimal(2)), date(2026, 1, 1), Decimal("0.25"))
    assert half is not None and half.amount == Decimal("0.01")


def test_what_is_held_back():
    """FAR 32.103: retainage is not to exceed 10 percent of the approved amount."""
    terms = BillingTerms(days=30, retained_percent=Decimal(10))
    assert retained_of(terms, Decimal("1481.25")) == Decimal("148.13")
    most = BillingTerms(days=30, retained_percent=Decimal(10), retained_most=Decimal("100.00"))
    assert retained_of(most, Decimal("1481.25")) == Decimal("100.00")
    assert retained_of(most, Decimal("500.00")) == Decimal("50.00")


def test_a_deposit_is_of_the_quoted_total():
    terms = BillingTerms(days=30, deposit_percent=Decimal(25))
    assert deposit_of(terms, Decimal("1481.25")) == Decimal("370.31")
    assert deposit_of(BillingTerms(days=30), Decimal("1481.25")) == 0
