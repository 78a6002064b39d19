"""What a job costs, spread over the lines of its offer, and what is left.

Common practice, no source: the rules are our own, and stand on the page beside the figures.

- *Product*: the whole containers that the estimate buys, at cost; by feet, a foot of second coat counting as
  the share of a first that it takes.
- *Crew*: hours on site, each at its cost; by the minutes of each line's own work. Waiting for a first coat to
  dry is the second coat's. Setting up and cleaning up are the treatment's.
- *Travel*: the minutes that the calendar allows for the way, all sprayers, and the miles there and back; the
  call-out's, where there is one.
- *Other*: dye, film and the like, so much a job; the treatment's.

A line that is not charged leaves its cost to the treatment.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from portal.core.documents.cost import CostDocument, CostPart, LineCost
from portal.core.documents.quote import Offer
from portal.core.documents.treatment import TreatmentDocument
from portal.core.errors import Problem
from portal.core.estimated import Estimate
from portal.core.fields import Problems, number
from portal.core.money.amount import cents, rounded
from portal.core.money.tax import shared_out
from portal.core.treatment.product import Product
from portal.core.words import say

#: Keys of the firm's edition, and how much each may be at most.
KEYS = {"cost_crew_hour": 10_000, "cost_mile": 1_000, "cost_job": 100_000, "margin_floor": 100}
PARTS = ("product", "hours", "travel", "other")
ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Costs:
    """What the office entered: the cost of a crew hour of one sprayer, of a mile, of what a job uses up
    beside; and the floor, a percentage. None is what it did not enter: unknown, not nothing."""

    crew_hour: Decimal | None = None
    mile: Decimal | None = None
    job: Decimal | None = None
    floor: Decimal | None = None


def read_costs(firm: Mapping[str, Any]) -> Costs:
    """The costs in an edition of the firm, which was checked when it was entered."""
    texts = (str(firm.get(key, "") if firm.get(key) is not None else "") for key in KEYS)
    return Costs(*(Decimal(text) if text else None for text in texts))


def problems_of_costs(firm: Mapping[str, Any]) -> list[Problem]:
    """What cannot be read of them; left out is unknown."""
    found: Problems = []
    for key, most in KEYS.items():
        typed = firm.get(key)
        if typed is None or typed == "":
            continue
        exact = number(typed, key, found, least=0, most=most)
        if exact is not None and (exact * 10_000).denominator != 1:
            found.append(Problem(key, say("This has four places at most.")))
    return found


@dataclass(frozen=True, slots=True)
class Way:
    """The way to a job: minutes as the calendar allows them, and the miles one way where they are known."""

    minutes: int
    miles: Decimal | None
    firm_edition: int = 0
    product_edition: int = 0


def plan(estimate: Estimate, offer: Offer, costs: Costs, way: Way) -> CostDocument:
    """What a job of this estimate costs, and what is left of its offer."""
    minutes, crew = estimate.minutes, estimate.crew
    amounts: dict[str, Decimal | Fraction | None] = {
        "product": _containers(estimate.amounts.container_cost),
        "hours": _hours(minutes.elapsed, crew.sprayers, costs),
        "travel": _travel(way, crew.sprayers, costs),
        "other": costs.job,
    }
    known = {what: cents(amount) for what, amount in amounts.items() if amount is not None}
    revenue = offer.subtotal - offer.discount
    return CostDocument(
        currency=offer.currency, revenue=revenue, cost=sum(known.values(), ZERO),
        parts=tuple(CostPart(what, known.get(what)) for what in PARTS),
        lines=_lines(offer, known, _weights(estimate)),
        lacks=_lacks(amounts["product"], costs, way.miles), floor=costs.floor,
        concentrate=rounded(estimate.amounts.concentrate, 2),
        minutes=rounded(minutes.elapsed - minutes.cleanup, 2), cleanup_minutes=rounded(minutes.cleanup, 2),
        travel_minutes=Decimal(way.minutes), sprayers=crew.sprayers, miles=way.miles,
        crew_hour=costs.crew_hour, mile=costs.mile, job=costs.job,
        product_edition=way.product_edition, firm_edition=way.firm_edition,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Actual:
    """What a treated job took: gallons mixed, minutes on site, and what that costs by the plan's figures."""

    concentrate: Decimal
    minutes: Decimal
    parts: tuple[CostPart, ...]
    cost: Decimal


def actual(planned: CostDocument, done: TreatmentDocument, product: Product) -> Actual:
    """A job reckoned again from its treatment record, by the figures that it was planned with.

    Of the same product edition the cheapest containers for what was mixed; hours on site as recorded, with
    the cleaning up as planned, because a record ends with the last coat. The rest stays as planned.
    """
    mixed, planned_of = done.amounts.concentrate, {part.what: part.amount for part in planned.parts}
    costs = Costs(planned.crew_hour, planned.mile, planned.job)
    counts = product.shelf.cheapest(Fraction(mixed)) if mixed > 0 else ()
    bought = sum((c.cost * n for c, n in zip(product.containers, counts, strict=False)), Fraction(0))
    hours = _hours(done.minutes + Fraction(planned.cleanup_minutes), planned.sprayers, costs)
    amounts = {
        "product": cents(bought) if planned_of["product"] is not None else None,
        "hours": None if hours is None else cents(hours),
        "travel": planned_of["travel"], "other": planned_of["other"],
    }  # fmt: skip
    cost = sum((amount for amount in amounts.values() if amount is not None), ZERO)
    parts = tuple(CostPart(what, amounts[what]) for what in PARTS)
    return Actual(mixed, Decimal(done.minutes), parts, cost)


def _containers(cost: Fraction) -> Fraction | None:
    # Containers that cost nothing are ones of which nobody entered what they cost.
    return cost or None


def _hours(minutes: Fraction, sprayers: int, costs: Costs) -> Fraction | None:
    return None if costs.crew_hour is None else minutes * sprayers / 60 * Fraction(costs.crew_hour)


def _travel(way: Way, sprayers: int, costs: Costs) -> Fraction | None:
    """As far as it is known; None where nothing of it is."""
    hours = _hours(Fraction(way.minutes), sprayers, costs)
    driven = None
    if costs.mile is not None and way.miles is not None:
        driven = 2 * Fraction(way.miles) * Fraction(costs.mile)
    found = [one for one in (hours, driven) if one is not None]
    return sum(found, Fraction(0)) if found else None


def _lacks(product: object, costs: Costs, miles: Decimal | None) -> tuple[str, ...]:
    known = {
        "product": product, "crew_hour": costs.crew_hour, "mile": costs.mile, "job": costs.job,
        # Where a mile costs nothing, it does not matter how many there are.
        "miles": 0 if costs.mile == 0 else miles,
    }  # fmt: skip
    return tuple(what for what, value in known.items() if value is None)


def _weights(estimate: Estimate) -> dict[str, dict[str, Fraction]]:
    """By kind of cost, how much of it each kind of line stands for."""
    feet, minutes = estimate.feet, estimate.minutes
    product = {"treatment": feet.total, "second_coat": feet.second_coat * estimate.product.second_coat_share}
    whole = sum(product.values())
    mix = {what: minutes.mix * part / whole for what, part in product.items()}
    second = minutes.second_coat + minutes.waiting + mix["second_coat"]
    own = {"second_coat": second, "unwrap": minutes.unwrap}
    hours = {"treatment": minutes.elapsed - sum(own.values()), **own}
    one = Fraction(1)
    return {"product": product, "hours": hours, "travel": {"call_out": one}, "other": {"treatment": one}}


def _lines(
    offer: Offer, known: Mapping[str, Decimal], weights: Mapping[str, Mapping[str, Fraction]]
) -> tuple[LineCost, ...]:
    kinds = [line.what for line in offer.lines]
    if not kinds:
        return ()
    rest = kinds.index("treatment") if "treatment" in kinds else 0
    costs: dict[int, Decimal] = {}
    for what, amount in known.items():
        by_line: dict[int, Fraction] = {}
        for kind, weight in weights[what].items():
            at = kinds.index(kind) if kind in kinds else rest
            by_line[at] = by_line.get(at, Fraction(0)) + weight
        given = shared_out(amount, tuple(by_line.values()))
        for at, part in zip(by_line, given, strict=True):
            costs[at] = costs.get(at, ZERO) + part
    off = shared_out(offer.discount, [line.amount for line in offer.lines])
    return tuple(
        LineCost(line.what, line.label, line.amount - off[i], costs.get(i))
        for i, line in enumerate(offer.lines)
    )
