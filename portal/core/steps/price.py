"""How the price of an estimate was got, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from portal.core.estimated import Estimate
from portal.core.money.amount import two_places
from portal.core.money.tax_table import TaxPart, TaxTable
from portal.core.numbers import plainly
from portal.core.pricing.lines import PriceLine, tax_parts
from portal.core.pricing.rates import Rates
from portal.core.words import Said, say

Line = tuple[Said, Said, str]

WHAT = {
    "treatment": say("treatment"),
    "second_coat": say("second coat"),
    "unwrap": say("pulling back the wrap"),
    "crawl_space": say("crawl space"),
    "call_out": say("call-out"),
    "minimum": say("up to the minimum charge"),
}


def price_steps(estimate: Estimate) -> Iterator[Line]:
    """What each line of the price is, the rule behind it, and the amount with its currency."""
    rates, price = estimate.rates, estimate.price
    for line in price.lines:
        yield WHAT[line.what], _rule(line, estimate), _money(line.amount, rates)
    lines = " + ".join(str(line.amount) for line in price.lines)
    yield say("subtotal"), say("{parts}", parts=lines or "0.00"), _money(price.subtotal, rates)
    rule = say("{amount} × {percent} %", amount=price.subtotal, percent=plainly(rates.discount_percent))
    yield say("discount"), rule, _money(price.discount, rates)
    yield from _tax(estimate)
    rule = say(
        "{subtotal} − {discount} + {tax}", subtotal=price.subtotal, discount=price.discount, tax=price.tax
    )
    yield say("total"), rule, _money(price.total, rates)
    if estimate.price_low and estimate.price_high:
        yield say("total, low"), say("the same at the low feet"), _money(estimate.price_low.total, rates)
        yield say("total, high"), say("the same at the high feet"), _money(estimate.price_high.total, rates)


def _tax(estimate: Estimate) -> Iterator[Line]:
    """The rate book's percent of what is left; or each part of the lot's table; or that it is exempt."""
    rates, price = estimate.rates, estimate.price
    if rates.taxing is None:
        after = price.subtotal - price.discount
        rule = say("{amount} × {percent} %", amount=after, percent=plainly(rates.tax_percent))
        yield say("tax"), rule, _money(price.tax, rates)
        return
    table, exempt = rates.taxing.table, rates.taxing.exempt
    if exempt:
        rule = say("exempt by certificate {number} until {day}", number=exempt.number, day=exempt.last_day)
        yield say("tax"), rule, _money(price.tax, rates)
        return
    for part in tax_parts(price.lines, price.discount, rates):
        what = say("tax, {name}, {jurisdiction}", name=part.name, jurisdiction=part.jurisdiction)
        yield what, _tax_rule(part, table), _money(part.amount, rates)


def _tax_rule(part: TaxPart, table: TaxTable) -> Said:
    percent = plainly(Fraction(part.percent))
    if table.rounding == "line":
        return say("{amount} × {percent} %, rounded line by line", amount=part.taxable, percent=percent)
    if table.apart or len(table.rates) == 1:
        return say("{amount} × {percent} %", amount=part.taxable, percent=percent)
    return say("{amount} × {percent} %, rounded with the other parts", amount=part.taxable, percent=percent)


def _rule(line: PriceLine, estimate: Estimate) -> Said:
    rates = estimate.rates
    if line.what == "treatment" and line.rate is None:
        return say("{parts}", parts=" + ".join(_slices(line.feet or Fraction(0), rates)))
    if line.what == "minimum":
        missing = rates.minimum_for(estimate.feet.total)
        return say("what is missing to {minimum}", minimum=two_places(missing))
    if line.what == "crawl_space" and line.feet is not None and line.rate is None:
        job, per_foot = two_places(rates.crawl_space), _rate(rates.crawl_space_per_foot)
        return say("{job} + {feet} ft × {rate} a foot", job=job, feet=two_places(line.feet), rate=per_foot)
    if line.feet is None or line.rate is None:
        return say("for the job")
    return say("{feet} ft × {rate} a foot", feet=two_places(line.feet), rate=_rate(line.rate))


def _slices(feet: Fraction, rates: Rates) -> Iterator[str]:
    start = Fraction(0)
    for band in rates.bands:
        end = feet if band.up_to_feet is None else min(feet, band.up_to_feet)
        yield f"{two_places(end - start)} ft × {_rate(band.per_foot)}"
        start = end
        if start == feet:
            break


def _rate(value: Fraction) -> str:
    # A rate may be finer than a cent, and then it is shown so.
    return plainly(value) if (value * 100).denominator != 1 else two_places(value)


def _money(amount: object, rates: Rates) -> str:
    return f"{amount} {rates.currency}"
