"""What of a rate book holds for one lot: by what it stands on, how far it is, and what was agreed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from portal.core.money.tax_table import Exemption, Taxing, TaxTable, plain_table
from portal.core.pricing.rates import Band, Distance, Rates

CRAWL_SPACE = "crawl space"


@dataclass(frozen=True, slots=True)
class AgreedPrices:
    """What an agreement changes: bands of its own, or a percentage off."""

    bands: tuple[Band, ...] = ()
    percent: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Site:
    """A lot, as far as its rates depend on it. `miles` is None where nobody entered them.

    `tax_table` is its jurisdiction's, None where the rate book's percent stands; `exempt` its builder's
    certificate that covers the day.
    """

    crawl_space: bool = False
    miles: Fraction | None = None
    agreement: AgreedPrices | None = None
    tax_table: TaxTable | None = None
    exempt: Exemption | None = None


#: A house of which nothing is known but itself, as the command line estimates it.
ANYWHERE = Site()


def rates_at(rates: Rates, site: Site) -> Rates:
    """The rates that hold for a lot, by which the engine prices it.

    Agreed bands take the place of the rate book's. An agreed percentage is the discount, in the place
    of the rate book's own where it is more: the better of the two, never both.
    """
    changes: dict[str, Any] = {}
    if not site.crawl_space and (rates.crawl_space or rates.crawl_space_per_foot):
        changes |= {"crawl_space": Fraction(0), "crawl_space_per_foot": Fraction(0)}
    if rates.call_out_by_miles and site.miles is not None:
        changes["call_out"] = call_out_at(rates.call_out_by_miles, site.miles)
    agreed = site.agreement
    if agreed is not None and agreed.bands:
        changes["bands"] = agreed.bands
    if agreed is not None and agreed.percent > rates.discount_percent:
        changes["discount_percent"] = agreed.percent
    if site.tax_table is not None or site.exempt is not None:
        table = site.tax_table or plain_table(_exact(rates.tax_percent))
        changes["taxing"] = Taxing(table, site.exempt)
    return replace(rates, **changes) if changes else rates


def _exact(percent: Fraction) -> Decimal:
    """A percentage as entered: a decimal, so nothing is lost."""
    return Decimal(percent.numerator) / Decimal(percent.denominator)


def call_out_at(distances: tuple[Distance, ...], miles: Fraction) -> Fraction:
    """The call-out at a distance. A lot exactly at the end of one is still within it."""
    for distance in distances:
        if distance.up_to_miles is None or miles <= distance.up_to_miles:
            return distance.charge
    raise AssertionError("the last distance has no end")
