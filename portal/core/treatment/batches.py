"""How much product a house takes, and how it is mixed, batch by batch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from portal.core.errors import BadInput, Problem
from portal.core.takeoff.feet import Feet
from portal.core.treatment.containers import TooManySets
from portal.core.treatment.product import Container, Product
from portal.core.words import say

MOST_BATCHES = 1_000


@dataclass(frozen=True, slots=True)
class Batch:
    """One batch: gallons, and fluid ounces of dye. The rinse water empties the container into the mix."""

    concentrate: Fraction
    water: Fraction
    first_water: Fraction
    rinse_water: Fraction
    dye: Fraction
    finished: Fraction


@dataclass(frozen=True, slots=True)
class Amounts:
    """What a house takes: gallons, fluid ounces of dye, containers to buy with their number, batches.

    All batches are like `full_batch` but the last, which is `last_batch` (they may be equal).
    """

    concentrate: Fraction
    water: Fraction
    finished: Fraction
    dye_floz: Fraction
    containers: tuple[tuple[Container, int], ...]
    bought: Fraction
    left: Fraction
    container_cost: Fraction
    batch_count: int
    full_batch: Batch
    last_batch: Batch

    @property
    def batches(self) -> tuple[Batch, ...]:
        """Every batch in its order."""
        return (self.full_batch,) * (self.batch_count - 1) + (self.last_batch,)


def amounts(feet: Feet, product: Product, at: str = "product") -> Amounts:
    """Gallons, containers and batches for `feet` of a house.

    Raises `BadInput` where more than 1,000 batches would have to be mixed.
    """
    reckoned = feet.total
    if feet.second_coat:
        reckoned += product.second_coat_share * feet.second_coat
    concentrate = reckoned / product.feet_per_gallon
    count = ceil(concentrate / product.batch_gallons)
    if count > MOST_BATCHES:
        says = say(
            "this house would take {count} batches; {most} is the limit",
            count=count,
            most=f"{MOST_BATCHES:,}",
        )
        raise BadInput([Problem(f"{at}.batch_gallons", says)])
    whole = batch(concentrate, product)
    full = batch(product.batch_gallons, product) if count > 1 else whole
    last = batch(concentrate - (count - 1) * product.batch_gallons, product) if count > 1 else whole
    counts = _counts(concentrate, product, at)
    chosen = tuple((c, n) for c, n in zip(product.containers, counts, strict=True) if n)
    bought = sum((c.gallons * n for c, n in chosen), Fraction(0))
    cost = sum((c.cost * n for c, n in chosen), Fraction(0))
    return Amounts(
        concentrate, whole.water, whole.finished, whole.dye,
        chosen, bought, bought - concentrate, cost, count, full, last,
    )  # fmt: skip


def _counts(concentrate: Fraction, product: Product, at: str) -> tuple[int, ...]:
    try:
        return product.shelf.cheapest(concentrate)
    except TooManySets:
        says = say("these sizes are too finely graded to find the cheapest set of them")
        raise BadInput([Problem(f"{at}.containers", says)]) from None


def batch(concentrate: Fraction, product: Product) -> Batch:
    """The recipe for so much concentrate, in gallons."""
    water = concentrate * product.water_per_concentrate
    first = water * product.first_water_share
    finished = concentrate + water
    return Batch(
        concentrate, water, first, water - first, finished * product.dye_floz_per_finished_gallon, finished
    )
