"""What a quote hangs on that the office enters: miles, once a subdivision; extras of the list."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from portal.acts import lot_terms
from portal.core.documents import QuoteDocument
from tests.parts.house import RATES, House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

FAR: dict[str, Any] = RATES | {
    "call_out_by_miles": [{"up_to_miles": "15", "charge": "30"}, {"up_to_miles": "40", "charge": "55"},
                          {"charge": "80"}],
    "extras": [{"name": "Garage sills", "by": "foot", "price": "0.853"},
               {"name": "Porch posts", "by": "piece", "price": "12.50"}],
}  # fmt: skip


def quoted(house: House, lot: str) -> QuoteDocument:
    """The newest revision, as it stands."""
    revision = house.sheet(lot).revision
    assert revision is not None and revision.document is not None
    return revision.document


def call_out(house: House, lot: str) -> str:
    """What the way is charged with."""
    return next(str(line.amount) for line in quoted(house, lot).offer.lines if line.what == "call_out")


def far(house: House, lot: str, miles: str) -> None:
    """Enter a lot's miles."""
    lot_terms.set_miles(house.parts, house.office, lot, house.version(lot), miles)


def add(house: House, lot: str, name: str, quantity: str) -> None:
    """Add an extra of the list."""
    lot_terms.add_listed(house.parts, house.office, lot, house.version(lot), name, quantity)


@pytest.mark.parametrize(
    ("miles", "charge"),
    [("", "35.00"), ("0", "30.00"), ("15", "30.00"), ("15.1", "55.00"), ("40", "55.00"), ("40.1", "80.00")],
)
def test_a_lot_at_the_end_of_a_distance_is_still_within_it(lite: House, miles: str, charge: str) -> None:
    lite.enter("rates", FAR)
    lot = lite.to_check()

    far(lite, lot, miles)

    assert call_out(lite, lot) == charge


def test_miles_are_entered_once_a_subdivision(house: House) -> None:
    house.enter("rates", FAR)
    first, elsewhere, alone = house.to_check(), house.to_check(subdivision="Tamarack Ford"), house.to_check(
        subdivision="")  # fmt: skip
    far(house, first, "24.5")
    far(house, alone, "90")

    assert call_out(house, house.to_check()) == "55.00"
    assert call_out(house, elsewhere) == "35.00"
    assert (call_out(house, alone), call_out(house, house.to_check(subdivision=""))) == ("80.00", "35.00")
    # Another builder's subdivision may be called the same, and be somewhere else.
    theirs = house.to_check(house.asked(by=house.rival))
    assert call_out(house, theirs) == "35.00"


@pytest.mark.parametrize("miles", ["-1", "1000.5", "far", "12.55", "1e3"])
def test_miles_that_are_none(lite: House, miles: str) -> None:
    lot = lite.to_check()

    assert list(problems(lambda: far(lite, lot, miles))) == ["miles"]
    assert quoted(lite, lot).miles is None


def test_an_extra_is_the_exact_product_rounded_once(house: House) -> None:
    """By hand: 41.5 ft × 0.853 = 35.3995, 35.40; 12.50 × 3 = 37.50. An approved quote is checked again."""
    house.enter("rates", FAR)
    lot = house.approved()

    add(house, lot, "Garage sills", "41.5")
    add(house, lot, "Porch posts", "3")

    lines = [line for line in quoted(house, lot).offer.lines if line.what == "extra"]
    assert [(line.label, str(line.amount)) for line in lines] == [
        ("Garage sills", "35.40"), ("Porch posts", "37.50"),
    ]  # fmt: skip
    assert (lines[0].feet, lines[0].rate, lines[1].pieces) == (Decimal("41.5"), Decimal("0.853"), Decimal(3))
    revision = house.sheet(lot).revision
    assert revision is not None and revision.state == "to check"


def test_an_extra_stays_as_it_was_added_whatever_the_list_says_later(lite: House) -> None:
    lite.enter("rates", FAR)
    lot = lite.to_check()
    add(lite, lot, "Porch posts", "2")

    lite.enter("rates", RATES)

    lines = [line for line in quoted(lite, lot).offer.lines if line.what == "extra"]
    assert [str(line.amount) for line in lines] == ["25.00"]
    assert lot_terms.listed_extras(lite.parts, lite.office) == ()


@pytest.mark.parametrize(
    ("name", "quantity", "at"),
    [
        ("Porch posts", "1.5", "quantity"), ("Porch posts", "0", "quantity"), ("Porch posts", "", "quantity"),
        ("Porch posts", "10001", "quantity"), ("Garage sills", "1.255", "quantity"),
        ("Garage sills", "-3", "quantity"), ("Chimney", "1", "listed"), ("", "1", "listed"),
    ],
)  # fmt: skip
def test_what_cannot_be_added(lite: House, name: str, quantity: str, at: str) -> None:
    lite.enter("rates", FAR)
    lot = lite.to_check()

    assert list(problems(lambda: add(lite, lot, name, quantity))) == [at]


def test_a_quote_that_is_sent_is_not_changed(lite: House) -> None:
    lite.enter("rates", FAR)
    lot = lite.sent()

    assert "sent" in refusal(lambda: far(lite, lot, "24"))
    assert "sent" in refusal(lambda: add(lite, lot, "Porch posts", "1"))
