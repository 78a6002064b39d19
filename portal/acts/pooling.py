"""What the price of a lot in a package depends on beside the lot: the feet of the others.

Every lot in the package counts with its feet as they stand, whatever has become of its quote, but for those
that were declined: whoever takes a lot out, or declines it, takes its feet out of the sum.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from portal.acts.editions import InForce, in_force
from portal.acts.parts import Parts
from portal.acts.siting import Sites
from portal.core.answer import price_answer
from portal.core.documents import InPackage, LotFeet
from portal.core.estimated import Estimate
from portal.core.money.amount import cents, rounded
from portal.core.naming import in_order
from portal.core.pricing.lines import Price, by_bands, price
from portal.core.pricing.package import Shares, shares
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.site import Site, rates_at
from portal.core.takeoff.feet import Feet, house_feet, level_feet
from portal.core.takeoff.reading import read_house
from portal.store import packages
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Pool:
    """A package's lots and what the slices over the sum of their feet come to; by lot.

    `shares` are empty where each lot's slices run over its own feet. Lots that come under agreements with
    bands of their own are together with those of the same bands: a slice can have one rate only.
    """

    number: str
    name: str
    feet: Mapping[str, Fraction]
    names: Mapping[str, str]
    shares: Mapping[str, Shares]


@dataclass(frozen=True, slots=True)
class Around:
    """The editions in force, and the lot's package where it is in one, with the sites of its lots."""

    editions: InForce
    pool: Pool | None
    sites: Sites | None = None


def around(parts: Parts, work: Work, package_id: str | None) -> Around:
    """What is in force today, and the package as it stands. Once for all lots of a package."""
    editions = in_force(work, parts.today())
    if not package_id:
        return Around(editions, None)
    row = packages.package(work, package_id)
    sites = Sites(work, row.company_id, parts.today())
    return Around(editions, _pool(work, row, editions, sites), sites)


def _pool(work: Work, row: Any, editions: InForce, sites: Sites) -> Pool:
    rates = read_rates(editions.rates.document)
    found = in_order(packages.houses_in(work, row.id), lambda lot: lot.name)
    feet = {lot.id: feet_of(lot.house).total for lot in found if lot.stage != "declined"}
    together: dict[str, Shares] = {}
    if rates.slices_over == "package":
        under = {lot.id: sites.agreement(lot.subdivision_id) for lot in found if lot.id in feet}
        by_rates: dict[Rates, dict[str, Fraction]] = {}
        for lot_id, agreement in under.items():
            own = rates_at(rates, Site(agreement=agreement.prices if agreement else None))
            by_rates.setdefault(replace(rates, bands=own.bands), {})[lot_id] = feet[lot_id]
        for alike, of_lots in by_rates.items():
            together |= dict.fromkeys(of_lots, shares(of_lots, alike))
    return Pool(row.number, row.name, feet, {lot.id: lot.name for lot in found}, together)


def feet_of(house: dict[str, Any]) -> Feet:
    """The feet of a house, exact, without the rest of its estimate."""
    read = read_house(house)
    return house_feet(read, tuple(level_feet(level) for level in read.levels))


@dataclass(frozen=True, slots=True)
class Together:
    """The engine's price of a lot in its package, as an answer's `price`, and what the quote says of it."""

    price: dict[str, Any]
    says: InPackage


def together(pool: Pool, lot_id: str, found: Estimate) -> Together:
    """A lot's price by its share of the package's treatment."""
    own, shared = found.feet, pool.shares.get(lot_id)
    if shared is None:
        return Together(price_answer(found.price), InPackage(pool.number, pool.name))
    low, high = None, None
    if own.estimated:
        low, high = (_at(feet, pool, lot_id, found).total for feet in (own.low, own.high))
    says = InPackage(
        number=pool.number, name=pool.name,
        lots=tuple(
            LotFeet(pool.names[key], rounded(feet, 2), key, str(feet))
            for key, feet in pool.feet.items() if key in shared.of
        ),
        feet=rounded(shared.feet, 2), whole=shared.whole, alone=shared.alone[lot_id],
        price_low=low, price_high=high,
    )  # fmt: skip
    return Together(price_answer(priced(pool, lot_id, own, found.rates)), says)


def priced(pool: Pool, lot_id: str, feet: Feet, rates: Rates) -> Price:
    """The engine's price of a lot by its share; by its own slices where they run over each lot's feet."""
    shared = pool.shares.get(lot_id)
    share = shared.of[lot_id] if shared else None
    return price(feet.total, feet.second_coat, feet.wrapped, rates, share)


def _at(feet: Fraction, pool: Pool, lot_id: str, found: Estimate) -> Price:
    """The price if this lot had other feet, all others as they are: for the band of an estimate."""
    share = _treatment(feet, pool.shares[lot_id].feet - pool.feet[lot_id] + feet, found.rates)
    return price(feet, found.feet.second_coat, found.feet.wrapped, found.rates, share)


def _treatment(feet: Fraction, total: Fraction, rates: Rates) -> Decimal:
    exact = by_bands(total, rates) * feet / total if total else Fraction(0)
    return min(cents(exact), cents(by_bands(feet, rates)))
