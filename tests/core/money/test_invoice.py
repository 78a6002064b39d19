"""Totals, payments and amounts as typed, against published rules and worked values."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.errors import BadInput
from portal.core.money.amount import cents, rounded
from portal.core.money.invoice import number_of, read_amount, state_after, totals

D = Decimal

#: Streamlined Sales and Use Tax Agreement, section 324: tax to the third decimal place, half up at the cent,
#: by item or by invoice at the seller's choice. The values follow from that rule by arithmetic.
SSUTA = [
    ("1.07", "7", "0.07"), ("10.35", "7", "0.72"), ("1.50", "7", "0.11"), ("50.00", "8.25", "4.13"),
    ("118.50", "7", "8.30"), ("2.00", "7.25", "0.15"), ("10.37", "7", "0.73"),
]  # fmt: skip


@pytest.mark.parametrize(("amount", "percent", "tax"), SSUTA)
def test_tax_is_rounded_half_up_from_the_exact_product(amount: str, percent: str, tax: str) -> None:
    assert totals([D(amount)], D(0), D(percent)).tax == D(tax)


@pytest.mark.parametrize(
    ("items", "percent", "by_item", "by_invoice"),
    [(("10.35",) * 3, "7", "2.16", "2.17"), (("412.50", "96.35", "23.35"), "7.25", "38.59", "38.58")],
)
def test_tax_is_by_invoice_which_is_not_the_same_as_by_item(
    items: tuple[str, ...], percent: str, by_item: str, by_invoice: str
) -> None:
    """The same section 324; ours is the invoice level."""
    assert totals(map(D, items), D(0), D(percent)).tax == D(by_invoice)
    assert sum(totals([D(item)], D(0), D(percent)).tax for item in items) == D(by_item)


@pytest.mark.parametrize(
    ("lines", "discount", "tax", "expected"),
    [
        # EN 16931-1, BR-CO-10 to BR-CO-15: net is the sum of the lines, tax on net, payable is both. The
        # figures are of the standard's published example invoices: 3 at 49.00 and 21 %, due 177.87; tax of
        # 25 % on 1460.50 is 365.13 (half up from 365.125).
        (("49.00", "49.00", "49.00"), "0", "21", ("147.00", "0.00", "30.87", "177.87")),
        (("1460.50",), "0", "25", ("1460.50", "0.00", "365.13", "1825.63")),
        # By hand: 10 % off 333.33 is 33.333, and 7 % of 300.00 is 21.00.
        (("111.11", "222.22"), "10", "7", ("333.33", "33.33", "21.00", "321.00")),
        ((), "10", "7", ("0.00", "0.00", "0.00", "0.00")),
        (("100.00",), "100", "7", ("100.00", "100.00", "0.00", "0.00")),
    ],
)
def test_totals(lines: tuple[str, ...], discount: str, tax: str, expected: tuple[str, ...]) -> None:
    sums = totals(map(D, lines), D(discount), D(tax))

    assert (sums.subtotal, sums.discount, sums.tax, sums.total) == tuple(map(D, expected))


@given(st.lists(st.decimals(-10_000, 10_000, places=2), max_size=9), st.integers(0, 100), st.integers(0, 100))
def test_totals_always_add_up_to_the_cent(lines: list[Decimal], discount: int, tax: int) -> None:
    sums = totals(lines, D(discount), D(tax))

    assert sums.subtotal == sum(lines, D("0.00"))
    assert sums.total == sums.subtotal - sums.discount + sums.tax
    exact = Fraction(sums.subtotal) * discount / 100
    assert abs(Fraction(sums.discount) - exact) <= Fraction(1, 200)


@pytest.mark.parametrize(
    ("value", "expected"), [("0.005", "0.01"), ("-0.005", "-0.01"), ("2.675", "2.68"), ("1", "1.00")]
)
def test_a_half_cent_goes_away_from_zero(value: str, expected: str) -> None:
    assert cents(D(value)) == D(expected)


def test_a_float_is_never_an_amount() -> None:
    with pytest.raises(TypeError):
        cents(0.1)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        rounded(True, 2)


@given(st.fractions(-(10**6), 10**6), st.integers(0, 6))
def test_rounding_is_to_the_nearest_and_of_two_to_the_one_further_out(value: Fraction, places: int) -> None:
    found, step = Fraction(rounded(value, places)), Fraction(1, 10**places)

    assert abs(found - value) <= step / 2
    if abs(found - value) == step / 2:
        assert abs(found) > abs(value)


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("1250", "1250.00"), ("1250.5", "1250.50"), ("1,250.00", "1250.00"), ("$1,250.00", "1250.00"),
        (" $ 85 ", "85.00"),
        ("0", "0.00"), ("0.01", "0.01"), ("999,999,999.99", "999999999.99"), ("007", "7.00"),
    ],
)  # fmt: skip
def test_an_amount_is_read_as_people_type_it(typed: str, amount: str) -> None:
    assert read_amount(typed) == D(amount)


@pytest.mark.parametrize(
    "typed",
    [
        "", " ", "$", "-5", "+5", "1.234", "1.", ".5", "1,25", "12,50.00", "1,2500", ",125", "1250,", "1e3",
        "NaN",
        "Infinity", "١٢", "1 250", "1_000", "$$5", "5$", "1250.00 USD", "1.2.3", "0x10", "9999999999",
    ],
)  # fmt: skip
def test_what_is_no_amount_is_said_so_with_what_was_read(typed: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_amount(typed, "paid")

    [problem] = caught.value.problems
    assert problem.at == "paid"
    nothing = not typed.strip().removeprefix("$").strip()
    assert str(problem.says) == (
        "Enter an amount: 1250 or 1,250.00." if nothing
        else f"“{typed}” is no amount of money; write 1250 or 1,250.00."
    )  # fmt: skip


@given(st.integers(0, 99_999_999_999))
def test_every_amount_of_cents_is_read_back_grouped_or_not(count: int) -> None:
    amount = D(count) / 100

    assert read_amount(f"{amount:.2f}") == read_amount(f"${amount:,.2f}") == amount


@pytest.mark.parametrize(
    ("still_open", "credited", "written_off", "state"),
    [
        ("100", "0", False, "issued"), ("99.99", "0", False, "part paid"), ("0.01", "0", False, "part paid"),
        ("0", "0", False, "paid"), ("0", "100", False, "credited"), ("0", "40", False, "paid"),
        ("60", "40", False, "part paid"), ("0", "40", True, "written off"), ("50", "0", True, "part paid"),
        ("100", "100", False, "issued"),
    ],
)  # fmt: skip
def test_how_far_an_invoice_of_a_hundred_is_settled(
    still_open: str, credited: str, written_off: bool, state: str
) -> None:
    assert state_after(D(100), D(still_open), D(credited), written_off) == state


def test_an_invoice_of_nothing_is_paid_as_it_stands() -> None:
    assert state_after(D(0), D(0), D(0), False) == "paid"


def test_a_number_names_its_series_and_year() -> None:
    assert [number_of("INV", 2027, n) for n in (7, 12345)] == ["INV-2027-0007", "INV-2027-12345"]
