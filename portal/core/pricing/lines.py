"""The price of a house: lines by the rate book, the minimum charge, discount and tax."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from portal.core.money.amount import from_cents, in_cents
from portal.core.money.tax import taxes
from portal.core.money.tax_table import TaxPart
from portal.core.pricing.rates import Rates


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line: treatment, second_coat, unwrap, crawl_space, call_out or minimum.

    With feet and rate where it has them.
    """

    what: str
    feet: Fraction | None
    rate: Fraction | None
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Price:
    """Lines of more than nothing and their totals, all to the cent."""

    currency: str
    lines: tuple[PriceLine, ...]
    subtotal: Decimal
    discount: Decimal
    tax: Decimal
    total: Decimal


def price(
    total: Fraction, sided: Fraction, wrapped: Fraction, rates: Rates, treatment: Decimal | None = None
) -> Price:
    """The price of `total` feet, of which `sided` get a second coat and `wrapped` are unwrapped.

    `rates` are those of the lot (`site.rates_at`): a charge for a crawl space is charged.
    `treatment` is the amount of that line where it is a share of a package's.
    """
    rate, amount = one_rate(total, rates), by_bands(total, rates)
    if treatment is not None:
        rate, amount = None, Fraction(treatment)
    candidates = [
        ("treatment", total, rate, in_cents(amount)),
        ("second_coat", sided, rates.second_coat_per_foot, in_cents(sided * rates.second_coat_per_foot)),
        ("unwrap", wrapped, rates.unwrap_per_foot, in_cents(wrapped * rates.unwrap_per_foot)),
        _crawl_space(total, rates),
        ("call_out", None, None, in_cents(rates.call_out)),
    ]
    reached = sum(amount for *_, amount in candidates)
    candidates.append(("minimum", None, None, in_cents(rates.minimum_for(total) - Fraction(reached, 100))))
    lines = tuple(PriceLine(what, feet, rate, from_cents(n)) for what, feet, rate, n in candidates if n > 0)
    subtotal = reached + max(0, candidates[-1][3])
    discount = _percent(subtotal, rates.discount_percent)
    tax = _tax(lines, subtotal, discount, rates)
    due = subtotal - discount + tax
    sums = (from_cents(subtotal), from_cents(discount), from_cents(tax), from_cents(due))
    return Price(rates.currency, lines, *sums)


def _crawl_space(total: Fraction, rates: Rates) -> tuple[str, Fraction | None, Fraction | None, int]:
    """So much for the job, so much a foot, or both; by the foot alone it shows feet and rate."""
    job, per_foot = rates.crawl_space, rates.crawl_space_per_foot
    if not per_foot:
        return "crawl_space", None, None, in_cents(job)
    return "crawl_space", total, None if job else per_foot, in_cents(job + total * per_foot)


def _percent(amount: int, percent: Fraction) -> int:
    return in_cents(Fraction(amount, 10_000) * percent) if percent else 0


def _tax(lines: tuple[PriceLine, ...], subtotal: int, discount: int, rates: Rates) -> int:
    if rates.taxing is None:
        return _percent(subtotal - discount, rates.tax_percent)
    parts = tax_parts(lines, from_cents(discount), rates)
    return sum(in_cents(Fraction(part.amount)) for part in parts)


def tax_parts(lines: tuple[PriceLine, ...], discount: Decimal, rates: Rates) -> tuple[TaxPart, ...]:
    """The parts of the tax by the lot's table; none where the rate book's percent holds, or it is exempt."""
    if rates.taxing is None or rates.taxing.exempt:
        return ()
    return taxes(((line.what, line.amount) for line in lines), discount, rates.taxing.table)


def by_bands(feet: Fraction, rates: Rates) -> Fraction:
    """The exact price of `feet` by slices, each at its own rate, so that more never costs less."""
    amount, start = Fraction(0), Fraction(0)
    for band in rates.bands:
        if band.up_to_feet is None or feet <= band.up_to_feet:
            return amount + (feet - start) * band.per_foot
        amount += (band.up_to_feet - start) * band.per_foot
        start = band.up_to_feet
    raise AssertionError("the last band has no end")


def one_rate(feet: Fraction, rates: Rates) -> Fraction | None:
    """The rate a foot, where the first band was enough for all of them."""
    first = rates.bands[0]
    return first.per_foot if first.up_to_feet is None or feet <= first.up_to_feet else None
