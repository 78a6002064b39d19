"""How much product a house takes, and how it is mixed, batch by batch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from portal.core.errors import BadInput, Problem
from portal.core.numbers import summed
from portal.core.takeoff.feet import Feet
from portal.core.treatment.containers import TooManySets
from portal.core.treatment.product import Batch, Container, Product
from portal.core.words import say

MOST_BATCHES = 1_000


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
    concentrate = concentrate_for(feet, product)
    count = ceil(concentrate / product.batch_gallons)
    if count > MOST_BATCHES:
        most = f"{MOST_BATCHES:,}"
        says = say("this house would take {count} batches; {most} is the limit", count=count, most=most)
        raise BadInput([Problem(f"{at}.batch_gallons", says)])
    last = product.batch(concentrate - (count - 1) * product.batch_gallons)
    full = product.full_batch if count > 1 else last
    chosen = _chosen(concentrate, product, at)
    bought = summed(*(container.gallons * n for container, n in chosen))
    return Amounts(
        concentrate=concentrate,
        water=full.water * (count - 1) + last.water,
        finished=full.finished * (count - 1) + last.finished,
        dye_floz=full.dye * (count - 1) + last.dye,
        containers=chosen,
        bought=bought,
        left=bought - concentrate,
        container_cost=summed(*(container.cost * n for container, n in chosen)),
        batch_count=count,
        full_batch=full,
        last_batch=last,
    )


def concentrate_for(feet: Feet, product: Product) -> Fraction:
    """Gallons of concentrate for `feet` of a house, its second coats included."""
    reckoned = feet.total
    if feet.second_coat:
        reckoned += product.second_coat_share * feet.second_coat
    return reckoned / product.feet_per_gallon


def _chosen(concentrate: Fraction, product: Product, at: str) -> tuple[tuple[Container, int], ...]:
    try:
        counts = product.shelf.cheapest(concentrate)
    except TooManySets:
        says = say("these sizes are too finely graded to find the cheapest set of them")
        raise BadInput([Problem(f"{at}.containers", says)]) from None
    return tuple((container, n) for container, n in zip(product.containers, counts, strict=True) if n)


__all__ = ["MOST_BATCHES", "Amounts", "Batch", "amounts"]
