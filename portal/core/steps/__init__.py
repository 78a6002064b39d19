"""The arithmetic behind an estimate, figure by figure, for people to follow on a screen."""

from __future__ import annotations

from dataclasses import dataclass

from portal.core.estimated import Estimate
from portal.core.steps.feet import feet_steps
from portal.core.steps.minutes import minutes_steps
from portal.core.steps.price import price_steps
from portal.core.steps.product import product_steps
from portal.core.words import Said


@dataclass(frozen=True, slots=True)
class Step:
    """One figure: `group` is feet, product, minutes or price; `rule` how it was got; `result` with unit."""

    group: str
    what: Said
    rule: Said
    result: str


def steps(estimate: Estimate) -> tuple[Step, ...]:
    """Every figure of the estimate in the order in which it is reckoned."""
    return (
        *(Step("feet", *line) for line in feet_steps(estimate)),
        *(Step("product", *line) for line in product_steps(estimate)),
        *(Step("minutes", *line) for line in minutes_steps(estimate)),
        *(Step("price", *line) for line in price_steps(estimate)),
    )


__all__ = ["Step", "steps"]
