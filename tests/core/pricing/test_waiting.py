"""The price of waiting: what the invoice would add, to the cent, and the last working day before siding."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.documents import QuoteDocument, from_stored, to_stored
from portal.core.money.amount import cents
from portal.core.pricing.offer import offer
from portal.core.pricing.waiting import Days, cost_of_waiting, working_day_before
from tests.parts import documents

D = Decimal
TUESDAY = date(2027, 5, 4)


def quote_of(siding: Any, discount: str = "0", tax: str = "0", **changed: Any) -> QuoteDocument:
    """A house of 40 by 28 ft, one story, and 85.75 ft inside."""
    plain = {"by": "rectangles", "rectangles": [documents.rectangle(0, 0, 40, 28)]}
    found = documents.quote(documents.house(documents.level(outline=plain, siding=siding)), **changed)
    offered = offer(found.offer.lines, "USD", D(discount), D(tax))
    return msgspec.structs.replace(found, offer=offered)


def test_an_open_house_by_hand() -> None:
    """136 ft at $0.60 is $81.60 more.

    Quoted: 221.75 ft at $1.45 is 321.54, brought up to the minimum of 395: so 8.14 of the 81.60 counts.
    """
    cost = cost_of_waiting(quote_of("open"))

    assert cents(D("221.75") * D("1.45")) == D("321.54")
    assert (cost.now, cost.after, cost.saving) == (D("395.00"), D("403.14"), D("8.14"))


def test_discount_and_tax_are_on_what_is_added() -> None:
    """(395 - 3 %) + 8.25 % = 383.15 + 31.61; (403.14 - 12.09) + 8.25 % = 391.05 + 32.26."""
    cost = cost_of_waiting(quote_of("open", "3", "8.25"))

    assert (cost.now, cost.after) == (D("414.76"), D("423.31"))


def test_below_the_minimum_charge_waiting_adds_nothing() -> None:
    assert cost_of_waiting(quote_of("open", minimum=D("500.00"))).saving == 0


def test_the_cap_is_kept() -> None:
    quoted = quote_of("open", minimum=D("0.00"))

    cost = cost_of_waiting(msgspec.structs.replace(quoted, clause_cap=D("20.00")))

    assert cost.saving == D("20.00")


def test_a_sided_house_costs_the_same_whenever() -> None:
    assert cost_of_waiting(quote_of("sided")).saving == 0


def test_wrap_that_is_dear_to_pull_back_makes_waiting_cheaper() -> None:
    """136 ft at $0.60 on, and 136 ft at $1.00 off."""
    quoted = quote_of("wrapped", minimum=D("0.00"), clause_unwrap_per_foot=D("1.00"))

    assert cost_of_waiting(quoted).saving == D("-54.40")


def test_a_quote_kept_before_it_told_its_minimum_is_read_as_it_would_be_billed() -> None:
    stored = to_stored(quote_of("open"))
    del stored["minimum"]
    old = from_stored(QuoteDocument, stored)

    found = dict.fromkeys((wall.key for wall in old.walls), "sided")

    assert cost_of_waiting(old).after == documents.invoice(old, found).owed.total


STATUS = st.sampled_from(("open", "wrapped", "sided"))
FEET = st.integers(12, 120 * 12).map(lambda inches: f'{inches}"')
PERCENT = st.decimals(0, 20, places=2).map(str)


@st.composite
def quotes(draw: st.DrawFn) -> QuoteDocument:
    """A quote of a random house: one to three stories, each side with a siding of its own; random terms."""
    levels = []
    for number in range(draw(st.integers(1, 3))):
        sides = {"by": "face"} | {side: draw(STATUS) for side in ("north", "east", "south", "west")}
        outline = {"by": "rectangles", "rectangles": [documents.rectangle(0, 0, draw(FEET), draw(FEET))]}
        levels.append(documents.level(f"Story {number + 1}", outline=outline, siding=sides))
    found = documents.quote(documents.house(*levels), extras=())
    offered = offer(found.offer.lines, "USD", D(draw(PERCENT)), D(draw(PERCENT)))
    return msgspec.structs.replace(found, offer=offered)


@given(quotes())
def test_what_is_saved_is_what_the_invoice_would_add(quoted: QuoteDocument) -> None:
    """Against the invoice of the same house found sided all around, and against the sums done here anew."""
    cost = cost_of_waiting(quoted)

    found = dict.fromkeys((wall.key for wall in quoted.walls), "sided")
    billed = documents.invoice(quoted, found).owed
    assert cost.after == billed.total
    assert cost.saving == billed.total - quoted.offer.total

    lengths = {wall.key: Fraction(wall.exact) for wall in quoted.walls if wall.status != "sided"}
    added = sum((cents(feet * Fraction(3, 5)) for feet in lengths.values()), D(0))
    wrapped = sum((lengths[w.key] for w in quoted.walls if w.status == "wrapped"), Fraction(0))
    engine = sum((line.amount for line in quoted.offer.lines if line.what != "minimum"), D(0))
    subtotal = max(engine + added - cents(wrapped / 4), quoted.minimum)
    off = cents(subtotal * quoted.offer.discount_percent / 100)
    assert cost.after == subtotal - off + cents((subtotal - off) * quoted.offer.tax_percent / 100)


@given(st.dates(date(1900, 1, 1), date(2200, 1, 1)))
def test_the_last_working_day_is_the_one_numpy_counts_back_to(day: date) -> None:
    """numpy.busday_offset with its default week, Monday to Friday."""
    expected = np.busday_offset(np.datetime64(day), -1, roll="forward").astype(date)

    assert working_day_before(day) == expected < day


OFF = st.frozensets(st.integers(1, 20), max_size=12)


@given(st.dates(date(1900, 1, 1), date(2200, 1, 1)), OFF)
def test_days_off_are_passed_over_as_numpy_passes_over_holidays(day: date, off: frozenset[int]) -> None:
    """numpy.busday_offset with its default week and these days as its holidays."""
    days_off = [day - timedelta(days=count) for count in off]

    expected = np.busday_offset(np.datetime64(day), -1, roll="forward", holidays=days_off).astype(date)

    assert working_day_before(day, days_off) == expected


def test_a_holiday_before_the_siding_is_told_where_it_makes_a_difference() -> None:
    """Siding starts on Tuesday, July 6, 2027; the Monday before is off, and so is another week's Friday."""
    tuesday, monday = date(2027, 7, 6), date(2027, 7, 5)
    off = (date(2027, 6, 25), date(2027, 7, 4), monday)

    days = Days(TUESDAY, tuesday, days_off=off)

    assert (days.last_good, days.passed_over) == (date(2027, 7, 2), (monday,))
    assert Days(TUESDAY, date(2027, 7, 9), days_off=off).passed_over == ()


def test_there_is_no_day_before_the_calendar() -> None:
    assert working_day_before(date(1, 1, 1)) == date(1, 1, 1)
    assert working_day_before(date(1, 1, 3), [date(1, 1, 2), date(1, 1, 1)]) == date(1, 1, 1)


@pytest.mark.parametrize(
    ("siding", "insulation", "last_good", "past", "insulation_first"),
    [
        (date(2027, 5, 12), None, date(2027, 5, 11), False, False),
        (date(2027, 5, 10), None, date(2027, 5, 7), False, False),  # a Monday: the Friday before
        (date(2027, 5, 8), date(2027, 5, 20), date(2027, 5, 7), False, False),  # a Saturday
        (date(2027, 5, 20), date(2027, 5, 10), date(2027, 5, 7), False, True),
        (date(2027, 5, 10), date(2027, 5, 10), date(2027, 5, 7), False, False),
        (date(2027, 5, 5), None, TUESDAY, False, False),
        (TUESDAY, None, date(2027, 5, 3), True, False),
        (date(2027, 4, 1), None, date(2027, 3, 31), True, False),
    ],
)
def test_the_last_good_day_is_before_whatever_comes_first(
    siding: date, insulation: date | None, last_good: date, past: bool, insulation_first: bool
) -> None:
    days = Days(TUESDAY, siding, insulation)

    assert (days.last_good, days.past, days.insulation_first) == (last_good, past, insulation_first)


def test_on_a_weekend_before_a_monday_no_good_day_is_left() -> None:
    saturday = date(2027, 5, 8)

    assert Days(saturday, saturday + timedelta(days=2)).past
