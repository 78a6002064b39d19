"""An estimate as a record: everything the engine reckons for one house, exact."""

from __future__ import annotations

from dataclasses import dataclass

from portal.core.pricing.lines import Price
from portal.core.pricing.rates import Rates
from portal.core.takeoff.feet import Feet, LevelFeet
from portal.core.takeoff.house import House
from portal.core.treatment.batches import Amounts
from portal.core.treatment.crew import Crew
from portal.core.treatment.minutes import Minutes
from portal.core.treatment.product import Product
from portal.core.words import Said


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a house takes and costs, and what it was reckoned from.

    Feet, gallons and minutes are exact fractions, amounts of money decimals to the cent. `levels`
    are the feet of one storey of each of the house's levels. `price_low` and `price_high` stand
    where the feet are estimated.
    """

    house: House
    product: Product
    crew: Crew
    rates: Rates
    feet: Feet
    levels: tuple[LevelFeet, ...]
    amounts: Amounts
    minutes: Minutes
    price: Price
    price_low: Price | None
    price_high: Price | None
    notes: tuple[Said, ...]
