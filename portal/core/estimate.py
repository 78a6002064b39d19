"""The engine's door: a house, a product, a crew and rates in, an estimate out."""

from __future__ import annotations

from portal.core.answer import answer
from portal.core.estimated import Estimate
from portal.core.notes import notes
from portal.core.pricing.lines import price
from portal.core.pricing.rates import Rates
from portal.core.pricing.site import ANYWHERE, Site, rates_at
from portal.core.steps import Step, steps
from portal.core.takeoff.feet import house_feet, level_feet, sided_stretches
from portal.core.takeoff.house import House
from portal.core.treatment.batches import amounts
from portal.core.treatment.crew import Crew
from portal.core.treatment.minutes import minutes
from portal.core.treatment.product import Product

PRODUCT, CREW, RATES = Product(), Crew(), Rates()


def estimate(
    house: House, product: Product = PRODUCT, crew: Crew = CREW, rates: Rates = RATES, site: Site = ANYWHERE
) -> Estimate:
    """Feet, product, time and price of `house`. The estimate's rates are those that hold for its `site`.

    Raises `BadInput` at `product.batch_gallons` where the house would take over 1,000 batches.
    """
    rates = rates_at(rates, site)
    levels = tuple(level_feet(level) for level in house.levels)
    feet = house_feet(house, levels)
    taken = amounts(feet, product)
    time = minutes(feet, sided_stretches(house), taken.batch_count, product.dry_minutes, crew)
    middle = price(feet.total, feet.second_coat, feet.wrapped, rates)
    low = high = None
    if feet.estimated:
        low = price(feet.low, feet.second_coat, feet.wrapped, rates)
        high = price(feet.high, feet.second_coat, feet.wrapped, rates)
    told = notes(house, levels, feet, product)
    return Estimate(house, product, crew, rates, feet, levels, taken, time, middle, low, high, told)


__all__ = ["CREW", "PRODUCT", "RATES", "Estimate", "Step", "answer", "estimate", "steps"]
