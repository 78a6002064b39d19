"""From a house as entered to the engine's figures, by the editions in force."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from portal.acts.editions import InForce, decimal, in_force
from portal.acts.lot_state import lot_for
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.siting import Sites
from portal.core.documents import QuoteDocument, WallAsQuoted
from portal.core.estimate import Step, answer, estimate, steps
from portal.core.estimated import Estimate
from portal.core.money.amount import cents, rounded
from portal.core.pricing.agreement import site_quoted
from portal.core.pricing.billed import Priced
from portal.core.pricing.clause import most_it_can_come_to
from portal.core.pricing.offer import offer_from
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.siding_prices import SidingPrice, siding_prices
from portal.core.pricing.site import ANYWHERE, CRAWL_SPACE, Site
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
            cents(self.rates.minimum_for(self.result.feet.total)),
        )  # fmt: skip


def story_name(stretch: Stretch) -> str:
    """The story a stretch is on; repeated ones are counted."""
    return stretch.level_name if stretch.storey == 1 else f"{stretch.level_name} ({stretch.storey})"


def figures(house: dict[str, Any], editions: InForce, site: Site = ANYWHERE) -> Figures:
    """Run the engine, by the rates that hold for a site.

    Raises `BadInput` with every problem of the house, each at its path.
    """
    read = read_house(house)
    rates = read_rates(editions.rates.document)
    result = estimate(
        read,
        product=read_product(editions.product.document["figures"]),
        crew=read_crew(editions.crew.document),
        rates=rates,
        site=site,
    )
    return Figures(answer(result), steps(result), stretches(read), result.notes, result.rates, result)


def figures_today(parts: Parts, work: Work, house: dict[str, Any], site: Site = ANYWHERE) -> Figures:
    """Run the engine by today's editions."""
    return figures(house, in_force(work, parts.today()), site)


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """What is typed of a lot beside its house, as far as its price depends on it.

    `company_id` is the builder's where the office looks; a builder sees only by their own agreements.
    """

    foundation: str = ""
    subdivision: str = ""
    state: str = ""
    town: str = ""
    company_id: str | None = None


def work_out(
    parts: Parts, who: Actor, house: dict[str, Any], where: Whereabouts | None = None, lot_id: str = ""
) -> Figures:
    """Feet, gallons, hours and price of a house, before anything is asked or kept.

    Of a lot that is there already (`lot_id`) the site is its own, as far as nothing else is typed.
    """
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id) if lot_id else None
        if lot is not None and where is None:
            return figures_today(parts, work, house, Sites(work, lot.company_id, parts.today()).of(lot).site)
        typed = where or Whereabouts()
        typed = replace(typed, company_id=lot.company_id) if lot is not None else typed
        site = _site(parts, work, who, typed)
        if lot is not None and not typed.subdivision.strip() and lot.subdivision is None and lot.miles:
            site = replace(site, miles=Fraction(lot.miles))
        return figures_today(parts, work, house, site)


def as_quoted(parts: Parts, who: Actor, quote: QuoteDocument) -> Figures:
    """The same of a quote's house by today's editions, on the site that the quote says."""
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        return figures(quote.house, in_force(work, parts.today()), site_quoted(quote))


def _site(parts: Parts, work: Work, who: Actor, where: Whereabouts) -> Site:
    company_id = who.company_id if who.kind == "builder" else where.company_id
    if not company_id:
        return Site(crawl_space=where.foundation == CRAWL_SPACE)
    return Sites(work, company_id, parts.today()).asked(
        where.foundation, where.subdivision, where.state, where.town
    )
