"""Two lots of one subdivision on one day: what the quote said comes off, does, once, and says why.

That one way serves two lots is common practice, no source; the amounts are worked by hand.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from portal.core.documents import DifferenceLine
from tests.parts.house import RATES, House

pytestmark = pytest.mark.slow

TERM = RATES | {"same_day_off": "20.00", "same_day_call_out": "once", "minimum": "0"}


def same_day(house: House, lot: str) -> list[DifferenceLine]:
    document = house.invoice(lot).document
    return [line for line in document.differences if line.key == "same_day"]


def test_the_second_of_a_subdivision_on_a_day_pays_no_way_of_its_own(house: House) -> None:
    house.enter("rates", TERM)
    first, second = house.booked(), house.booked()

    house.treated(first)
    house.treated(second)

    assert same_day(house, first) == []
    (line,) = same_day(house, second)
    # The call-out of 35.00 once a day, and 20.00 more off.
    assert line.amount == Decimal("-55.00")
    assert "was treated before it on the same day" in line.why
    whole, less = (house.invoice(lot).document.owed for lot in (first, second))
    assert less.subtotal == whole.subtotal - 55
    # Tax of 7 percent on what is left of the second: by hand from its own subtotal, half up.
    assert less.total == less.subtotal + (less.subtotal * 7 / 100).quantize(Decimal("0.01"), "ROUND_HALF_UP")


def test_another_day_or_another_subdivision_is_another_way(lite: House) -> None:
    lite.enter("rates", TERM)
    first = lite.treated()
    elsewhere = lite.treated(subdivision="Tamarack Ford")
    on_its_own = lite.treated(subdivision="")
    lite.clock.pass_by(days=1)
    later = lite.treated()

    assert [same_day(lite, lot) for lot in (first, elsewhere, on_its_own, later)] == [[], [], [], []]


def test_the_minimum_charge_holds_for_it_likewise(lite: House) -> None:
    lite.enter("rates", TERM | {"minimum": "500.00"})
    first, second = lite.booked(), lite.booked()
    lite.treated(first)
    lite.treated(second)

    quoted = lite.invoice(second).document.quoted.subtotal
    assert lite.invoice(second).document.owed.subtotal == max(quoted - 55, Decimal("500.00"))


def test_the_quote_says_it_before(lite: House) -> None:
    lite.enter("rates", TERM)
    lot = lite.sent()

    document = lite.sheet(lot).revisions[0].document
    assert document.same_day_off == Decimal("55.00")
