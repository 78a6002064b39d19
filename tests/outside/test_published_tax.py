"""Tax on an estimate, rounded as the published rule and examples have it.

Rule (F): half-up from the exact product, at the level of the invoice where the seller so chooses,
as here: Streamlined Sales and Use Tax Agreement, section 324. Values derived from it (D) unless said.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from portal.core.documents import TaxRate, TaxTable
from portal.core.money.tax import taxes
from portal.core.pricing.lines import Price, price
from portal.core.pricing.rates import read_rates


def charged(*amounts: str, tax: str) -> Price:
    """A price with up to four lines of these amounts."""
    treatment, second_coat, unwrap, call_out = (*amounts, "0", "0", "0", "0")[:4]
    rates = {
        "bands": [{"per_foot": treatment}], "second_coat_per_foot": second_coat, "unwrap_per_foot": unwrap,
        "call_out": call_out, "minimum": 0, "tax_percent": tax,
    }  # fmt: skip
    return price(Fraction(1), Fraction(1), Fraction(1), read_rates(rates))


@pytest.mark.parametrize(
    ("amount", "percent", "tax"),
    [
        ("1.07", "7", "0.07"),
        ("10.35", "7", "0.72"),
        ("1.50", "7", "0.11"),
        ("50.00", "8.25", "4.13"),
        ("118.50", "7", "8.30"),
        ("2.00", "7.25", "0.15"),
        ("10.37", "7", "0.73"),  # 6 % and 1 % combined
    ],
)
def test_tax_is_rounded_half_up(amount: str, percent: str, tax: str) -> None:
    assert str(charged(amount, tax=percent).tax) == tax


@pytest.mark.parametrize(
    ("amounts", "percent", "tax"),
    [(("10.35",) * 3, "7", "2.17"), (("412.50", "96.35", "23.35"), "7.25", "38.58")],
)
def test_tax_is_of_the_sum_and_not_of_each_line(amounts: tuple[str, ...], percent: str, tax: str) -> None:
    """Line by line the tax would be 2.16 and 38.59."""
    assert str(charged(*amounts, tax=percent).tax) == tax


@pytest.mark.parametrize(
    ("feet", "rate", "total"),
    [
        (100, "0.1212", "15.15"),  # EN 16931 discount sample: 100 at 0.1212, 25 % (F)
        (3, "49", "177.87"),  # EN 16931 example 9: 3 at 49, 21 % (F)
    ],
)
def test_official_example_invoices_come_to_their_amounts(feet: int, rate: str, total: str) -> None:
    percent = {"15.15": "25", "177.87": "21"}[total]
    rates = read_rates({"bands": [{"per_foot": rate}], "minimum": 0, "tax_percent": percent})

    assert str(price(Fraction(feet), Fraction(0), Fraction(0), rates).total) == total


def test_the_tax_of_an_official_example_invoice() -> None:
    """EN 16931 example 2: 365.13 on 1460.50 at 25 % (F)."""
    assert str(charged("1460.50", tax="25").tax) == "365.13"


RATE_PARTS = {"7": ("7",), "8.25": ("6.25", "2"), "7.25": ("7.25",), "6+1": ("6", "1")}


@pytest.mark.parametrize(
    ("lines", "percent", "rounding", "apart", "tax"),
    [
        # Section 324 of the agreement named above; the values are derived from its rule (D).
        (("1.07",), "7", "invoice", False, "0.07"),
        (("10.35",), "7", "invoice", False, "0.72"),
        (("1.50",), "7", "line", False, "0.11"),
        (("50.00",), "8.25", "invoice", False, "4.13"),
        (("118.50",), "7", "line", True, "8.30"),
        (("2.00",), "7.25", "invoice", True, "0.15"),
        (("10.35",) * 3, "7", "line", False, "2.16"),
        (("10.35",) * 3, "7", "invoice", False, "2.17"),
        (("412.50", "96.35", "23.35"), "7.25", "line", False, "38.59"),
        (("412.50", "96.35", "23.35"), "7.25", "invoice", False, "38.58"),
        (("10.37",), "6+1", "invoice", False, "0.73"),
        (("10.37",), "6+1", "invoice", True, "0.72"),
        (("10.37",), "6+1", "line", True, "0.72"),
    ],
)
def test_a_table_taxes_as_published(
    lines: tuple[str, ...], percent: str, rounding: str, apart: bool, tax: str
) -> None:
    rates = tuple(TaxRate(f"part {one}", Decimal(one)) for one in RATE_PARTS[percent])
    table = TaxTable("Anywhere", 1, rates, rounding=rounding, apart=apart)

    parts = taxes([("treatment", Decimal(line)) for line in lines], Decimal("0.00"), table)

    assert str(sum(part.amount for part in parts)) == tax
