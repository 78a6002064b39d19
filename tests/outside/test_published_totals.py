"""Totals of the official example invoices of EN 16931, worked out by our own totals and tax.

The rules (F): BR-CO-10 (lines add up), BR-CO-13 (less allowances), BR-CO-14 (tax is the sum of its parts),
BR-CO-15 (with tax), BR-CO-17 (a part is its taxable amount times its rate, rounded to two decimals). The
amounts: the CEN's examples in UBL, published with its validation artefacts (ubl/examples, by their numbers).
Ours taxes all lines of one table at the same rates, so that an example of two rates is two offers added up.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from portal.core.documents import Line, Offer, Taxing, TaxRate, TaxTable
from portal.core.money.tax import taxes
from portal.core.pricing.offer import offer
from portal.core.pricing.summed import summed

D = Decimal


def at(percent: str) -> TaxTable:
    """A table of one part."""
    return TaxTable("VAT", 1, (TaxRate(f"{percent} %", D(percent)),))


def offered(percent: str, *lines: str) -> Offer:
    """Lines of one rate as an offer."""
    kept = [Line("treatment", "Line", D(amount)) for amount in lines]
    return offer(kept, "EUR", D(0), D(0), Taxing(at(percent)))


@pytest.mark.parametrize(
    ("groups", "subtotal", "parts", "total"),
    [
        # Example 1: 6 % on 183.23 and 21 % on 46.37.
        ((("6", "183.23"), ("21", "46.37")), "229.60", ("10.99", "9.74"), "250.33"),
        # Example 4: 1,000 × 1.00 and 100 × 5.00 at 25 %, 500 × 5.00 at 12 %.
        ((("25", "1000.00", "500.00"), ("12", "2500.00")), "4000.00", ("375.00", "300.00"), "4675.00"),
        # Example 8: 21 % on 908.91.
        ((("21", "908.91"),), "908.91", ("190.87",), "1099.78"),
        # Example 9: 3 × 49.00 at 21 %.
        ((("21", "147.00"),), "147.00", ("30.87",), "177.87"),
        # The sample of a discounted price: 100 × 0.1212 at 25 %.
        ((("25", "12.12"),), "12.12", ("3.03",), "15.15"),
    ],
    ids=["1", "4", "8", "9", "discount"],
)
def test_an_official_example_comes_to_its_amounts(
    groups: tuple[tuple[str, ...], ...], subtotal: str, parts: tuple[str, ...], total: str
) -> None:
    whole = summed([offered(percent, *lines) for percent, *lines in groups])

    assert str(whole.subtotal) == subtotal
    assert tuple(str(part.amount) for part in whole.taxes) == parts
    assert whole.tax == sum((part.amount for part in whole.taxes), D(0))
    assert str(whole.total) == total


def test_example_5_an_allowance_comes_off_before_tax() -> None:
    """Lines 1,000 and 500, a charge of 150, an allowance of 150, at 25 %; 2,500 at 12 %; half prepaid."""
    first = taxes([("treatment", D(n)) for n in ("1000.00", "500.00", "150.00")], D("150.00"), at("25"))
    second = taxes([("treatment", D("2500.00"))], D("0.00"), at("12"))

    assert [(str(part.taxable), str(part.amount)) for part in (*first, *second)] == [
        ("1500.00", "375.00"), ("2500.00", "300.00"),
    ]  # fmt: skip
    due = D("4000.00") + first[0].amount + second[0].amount - D("2337.50")
    assert str(due) == "2337.50"


@pytest.mark.parametrize(("taxable", "percent", "tax"), [("1460.50", "25", "365.13"), ("1.00", "15", "0.15")])
def test_example_2_rounds_each_part_from_the_exact_product(taxable: str, percent: str, tax: str) -> None:
    assert str(taxes([("treatment", D(taxable))], D("0.00"), at(percent))[0].amount) == tax


def test_a_negative_half_goes_away_from_zero() -> None:
    """−1460.50 at 25 % is −365.125: −365.13 (facts of the standard's rounding, F)."""
    assert str(taxes([("treatment", D("-1460.50"))], D("0.00"), at("25"))[0].amount) == "-365.13"
