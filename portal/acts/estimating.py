"""From a house as entered to the engine's figures, by the editions in force."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from portal.acts.editions import InForce, decimal, in_force
from portal.acts.lot_state import lot_for
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.taxing import NOWHERE, TaxBook, Where, tax_book, where_is
from portal.core.documents import QuoteDocument, Taxing, WallAsQuoted
from portal.core.estimate import Step, answer, estimate, steps
from portal.core.estimated import Estimate
from portal.core.money.amount import cents, rounded
from portal.core.pricing.billed import Priced
from portal.core.pricing.clause import most_it_can_come_to
from portal.core.pricing.offer import offer_from
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.siding_prices import SidingPrice, siding_prices
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import Stretch, stretches
from portal.core.treatment.crew import read_crew
from portal.core.treatment.product import read_product
from portal.core.words import Said
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Figures:
    """What the engine says of a house: its answer, how each figure was got, what was assumed."""

    answer: dict[str, Any]
    steps: tuple[Step, ...]
    stretches: tuple[Stretch, ...]
    notes: tuple[Said, ...]
    rates: Rates
    result: Estimate

    def siding_prices(self) -> tuple[SidingPrice, ...]:
        """What each siding on each stretch would change the price by."""
        return siding_prices(self.result)

    def walls(self) -> tuple[WallAsQuoted, ...]:
        """The stretches of exterior wall as a quote lists them."""
        return tuple(
            WallAsQuoted(s.key, story_name(s), str(s.label), rounded(s.length, 2), str(s.length), s.status)
            for s in self.stretches
        )

    def priced(self) -> Priced:
        """The engine's price as the siding clause of a quote by these rates would read it."""
        percents = decimal(self.rates.discount_percent), decimal(self.rates.tax_percent)
        second = decimal(self.rates.second_coat_per_foot)
        return Priced(
            self.walls(), offer_from(self.answer["price"], (), *percents, self.rates.taxing), second,
            decimal(self.rates.unwrap_per_foot), most_it_can_come_to(self.stretches, second),
            cents(self.rates.minimum),
        )  # fmt: skip


def story_name(stretch: Stretch) -> str:
    """The story a stretch is on; repeated ones are counted."""
    return stretch.level_name if stretch.storey == 1 else f"{stretch.level_name} ({stretch.storey})"


@dataclass(frozen=True, slots=True)
class Place:
    """By what a house is taxed: the tables of its builder's lots, and where it stands."""

    taxes: TaxBook
    where: Where = NOWHERE


def figures(house: dict[str, Any], editions: InForce, taxed: Place | Taxing | None = None) -> Figures:
    """Run the engine. Raises `BadInput` with every problem of the house, each at its path.

    `taxed` is where it stands, or how it was taxed; without it the rate book's percent stands.
    """
    read = read_house(house)
    rates = _taxed(read_rates(editions.rates.document), taxed)
    result = estimate(
        read,
        product=read_product(editions.product.document["figures"]),
        crew=read_crew(editions.crew.document),
        rates=rates,
    )
    return Figures(answer(result), steps(result), stretches(read), result.notes, rates, result)


def _taxed(rates: Rates, taxed: Place | Taxing | None) -> Rates:
    if isinstance(taxed, Place):
        return taxed.taxes.rates(rates, taxed.where)
    return replace(rates, taxing=taxed) if taxed else rates


def figures_today(
    parts: Parts, work: Work, house: dict[str, Any], company_id: str | None, where: Where = NOWHERE
) -> Figures:
    """Run the engine by today's editions. A house of no builder's is taxed by the rate book's percent."""
    today = parts.today()
    place = Place(tax_book(work, today, company_id), where) if company_id else None
    return figures(house, in_force(work, today), place)


def work_out(
    parts: Parts, who: Actor, house: dict[str, Any], where: Where | None = None, lot_id: str = ""
) -> Figures:
    """Feet, gallons, hours and price of a house, before anything is asked or kept.

    It is taxed by `where` it stands, or by where its lot is, once there is one.
    """
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id) if lot_id else None
        place = where or (where_is(lot) if lot else NOWHERE)
        return figures_today(parts, work, house, lot.company_id if lot else who.company_id, place)


def as_quoted(parts: Parts, who: Actor, quote: QuoteDocument) -> Figures:
    """The same of a quote's house by today's editions, taxed as the quote is."""
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        return figures(quote.house, in_force(work, parts.today()), quote.offer.taxing)
