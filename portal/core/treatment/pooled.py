"""Concentrate for several lots: containers bought for each lot by itself, or once for all of them.

By itself, every lot leaves a container that is partly used; bought together, there is one such at most
that the cheapest set does not fill. Which it is to be, the office decides by its days: what
is opened for one lot has to be used on the next within the time the label gives it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from portal.core.treatment.containers import TooManySets
from portal.core.treatment.product import Container, Product


@dataclass(frozen=True, slots=True)
class Bought:
    """Whole containers: how many of each, what they hold and cost, and how much of it is left over."""

    containers: tuple[tuple[Container, int], ...]
    gallons: Fraction
    left: Fraction
    cost: Fraction

    @property
    def count(self) -> int:
        """How many containers."""
        return sum(count for _, count in self.containers)


@dataclass(frozen=True, slots=True)
class Pooled:
    """The same concentrate bought both ways."""

    concentrate: Fraction
    apart: Bought
    together: Bought
    #: On how many lots, bought apart, a container is left that is partly used.
    part_used_apart: int

    @property
    def part_used_together(self) -> int:
        """How many are left so where it is bought together: one, or none where it comes out even."""
        return 1 if self.together.left else 0

    @property
    def containers_saved(self) -> int:
        """How many containers fewer. Below zero where more small ones are the cheaper for all."""
        return self.apart.count - self.together.count

    @property
    def gallons_saved(self) -> Fraction:
        """How much less is left over."""
        return self.apart.left - self.together.left

    @property
    def cost_saved(self) -> Fraction:
        """How much less the containers cost. Never below zero."""
        return self.apart.cost - self.together.cost


def pooled(gallons: Iterable[Fraction], product: Product) -> Pooled | None:
    """The cheapest containers for each lot's concentrate, and for the sum of it.

    None where nothing is needed, or where the sizes on sale differ too finely to find the cheapest set.
    """
    needs = [need for need in gallons if need > 0]
    if not needs:
        return None
    try:
        each = [product.shelf.cheapest(need) for need in needs]
        all_at_once = product.shelf.cheapest(sum(needs, Fraction(0)))
    except TooManySets:
        return None
    apart: Counter[int] = Counter()
    for counts in each:
        apart.update(dict(enumerate(counts)))
    need = sum(needs, Fraction(0))
    held = [_bought(dict(enumerate(counts)), own, product) for counts, own in zip(each, needs, strict=True)]
    return Pooled(
        need, _bought(apart, need, product), _bought(dict(enumerate(all_at_once)), need, product),
        part_used_apart=sum(1 for one in held if one.left),
    )  # fmt: skip


def _bought(counts: dict[int, int], need: Fraction, product: Product) -> Bought:
    chosen = tuple((product.containers[i], n) for i, n in sorted(counts.items()) if n)
    gallons = sum((container.gallons * n for container, n in chosen), Fraction(0))
    cost = sum((container.cost * n for container, n in chosen), Fraction(0))
    return Bought(chosen, gallons, gallons - need, cost)
