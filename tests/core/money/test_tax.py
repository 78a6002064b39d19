"""Tax tables: what is taxed, how it is rounded, how a discount is spread. Amounts by hand unless said."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.documents import Exemption, Line, Taxing, TaxRate, TaxTable
from portal.core.money.amount import cents
from portal.core.money.tax import shared_out, spread, taxes
from portal.core.pricing.offer import offer, owed
from portal.core.pricing.rates import Rates, read_rates

D = Decimal
DAY, LAST = date(2026, 3, 2), date(2026, 12, 31)
STATE_AND_CITY = (TaxRate("State", D(6)), TaxRate("City", D(1)))
EXEMPT = Exemption("R-1", "", DAY, LAST)


def table(*rates: TaxRate, **how: object) -> TaxTable:
    """A table of Alder County."""
    return TaxTable("Alder County", 2, rates or STATE_AND_CITY, **how)  # type: ignore[arg-type]


amounts = st.decimals(min_value=-5000, max_value=50000, places=2)
percents = st.decimals(min_value=0, max_value=30, places=3)


@given(st.lists(amounts, min_size=1, max_size=12), st.decimals(min_value=0, max_value=100, places=2))
def test_a_discount_is_spread_to_the_cent(lines: list[D], percent: D) -> None:
    """The shares add up to it, and none is a cent or more off its exact share."""
    whole = sum(lines, D(0))
    discount = cents(whole * percent / 100)
    if not whole:
        return

    shares = spread(discount, lines)

    assert sum(shares) == discount
    for line, share in zip(lines, shares, strict=True):
        assert abs(Fraction(share) - Fraction(discount) * Fraction(line) / Fraction(whole)) < Fraction(1, 100)


@given(
    st.lists(amounts, min_size=1, max_size=8), st.lists(percents, min_size=1, max_size=4),
    st.sampled_from(["invoice", "line"]), st.booleans(),
)  # fmt: skip
def test_the_parts_add_up_to_the_whole(lines: list[D], rates: list[D], rounding: str, apart: bool) -> None:
    """By invoice it is the exact product, rounded once; by line, of each line; apart, of each part."""
    by = table(*(TaxRate(f"part {n}", one) for n, one in enumerate(rates)), rounding=rounding, apart=apart)

    parts = taxes([("treatment", line) for line in lines], D(0), by)

    of = lines if rounding == "line" else [sum(lines, D(0))]
    percents_of = rates if apart else [sum(rates, D(0))]
    by_part = [sum((_rounded(one, percent) for one in of), D(0)) for percent in percents_of]
    assert sum(part.amount for part in parts) == sum(by_part)
    if apart:
        assert [part.amount for part in parts] == by_part
    assert all(part.taxable == sum(lines) for part in parts)


def _rounded(amount: D, percent: D) -> D:
    """An oracle of its own: the exact product in thousandths of a cent's hundredth, halves away from zero."""
    exact = Fraction(amount) * Fraction(percent)  # in hundredths of a dollar, times a hundred of a percent
    whole, rest = divmod(abs(exact), 1)
    count = int(whole) + (1 if rest >= Fraction(1, 2) else 0)
    return D(-count if exact < 0 else count) / 100


def test_only_what_the_table_taxes_is_taxed() -> None:
    """10 % off 300: 20 of the 200 that are taxed. 180 at 7 % is 12.60, of it 10.80 and 1.80."""
    lines = [("treatment", D("200.00")), ("call_out", D("100.00"))]

    parts = taxes(lines, D("30.00"), table(untaxed=("call_out",)))

    assert [(part.name, part.taxable, part.amount) for part in parts] == [
        ("State", D("180.00"), D("10.80")), ("City", D("180.00"), D("1.80")),
    ]  # fmt: skip


def test_a_kind_that_no_table_knows_yet_is_taxed() -> None:
    assert taxes([("crawl", D("100.00"))], D(0), table(untaxed=("call_out",)))[0].amount == D("6.00")


def test_a_line_by_the_siding_clause_is_taxed_as_the_line_it_changes() -> None:
    """The wrap's line is untaxed, so what comes off it must not lower the tax."""
    by = Taxing(table(untaxed=("unwrap",)))
    quoted = offer(
        [Line("treatment", "T", D("100.00")), Line("unwrap", "U", D("20.00"))], "USD", D(0), D(0), by
    )

    due = owed(quoted, [
        Line("difference", "No wrap", D("-20.00"), of="unwrap"),
        Line("difference", "Second coat", D("50.00"), of="second_coat"),
    ])  # fmt: skip

    assert (quoted.tax, due.tax, due.total) == (D("7.00"), D("10.50"), D("160.50"))
    assert due.taxing == by


def test_an_exempt_builder_pays_no_tax_and_the_offer_says_why() -> None:
    found = offer([Line("treatment", "T", D("100.00"))], "USD", D(0), D(7), Taxing(table(), EXEMPT))

    assert (found.tax, found.tax_percent, found.total, found.taxes) == (D(0), D(0), D("100.00"), ())
    assert found.taxing is not None
    assert found.taxing.exempt == EXEMPT


@pytest.mark.parametrize(
    ("day", "where", "covered"),
    [
        (DAY, "Alder County", True), (LAST, "Alder County", True), (date(2027, 1, 1), "Alder County", False),
        (date(2026, 3, 1), "Alder County", False), (DAY, "Birch County", False),
    ],
)  # fmt: skip
def test_an_exemption_covers_its_days_where_it_holds(day: date, where: str, covered: bool) -> None:
    assert Exemption("R-1", "Alder County", DAY, LAST).covers(day, where) is covered


def test_an_exemption_of_no_jurisdiction_holds_everywhere() -> None:
    assert EXEMPT.covers(DAY, "Birch County")
    assert EXEMPT.covers(DAY, "")


def test_nothing_is_shared_out_by_nothing() -> None:
    assert shared_out(D("0.00"), [D(0), D(0)]) == (D("0.00"), D("0.00"))
    with pytest.raises(ValueError, match="come to nothing"):
        shared_out(D("0.01"), [D(0)])


def test_lines_that_cancel_out_have_no_tax_by_invoice() -> None:
    lines = [("treatment", D("10.07")), ("extra", D("-10.07"))]
    assert [part.amount for part in taxes(lines, D(0), table())] == [D("0.00"), D("0.00")]


def test_an_edition_of_rates_never_says_how_a_lot_is_taxed() -> None:
    assert read_rates({}) == Rates()
    assert read_rates({}).taxing is None
