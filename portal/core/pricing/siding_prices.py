"""What the siding of a stretch of wall does to the price: the engine's total with it, less that without.

So it says what the builder would really pay more or less, bands, minimum charge, discount and tax included.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from portal.core.estimated import Estimate
from portal.core.pricing.lines import price
from portal.core.takeoff.house import OPEN, SIDED, STATUSES, WRAPPED
from portal.core.takeoff.stretches import level_parts

#: In place of a stretch's mark: every exterior wall of the level.
ALL = "all"


@dataclass(frozen=True, slots=True)
class SidingPrice:
    """A stretch on all the storeys of its level, and what each siding on it would change the price by.

    `status` is what it has now, None for walls of several kinds. What it has now changes nothing.
    `covered`: the house is below the minimum charge, so that more may change nothing either.
    """

    level: int
    mark: str
    feet: Fraction
    status: str | None
    changes: dict[str, Decimal]
    covered: bool


def siding_prices(estimate: Estimate) -> tuple[SidingPrice, ...]:
    """Every stretch of the house, and all walls of each of its levels."""
    covered = any(line.what == "minimum" for line in estimate.price.lines)
    return tuple(
        SidingPrice(
            level, mark, sum(feet.values(), Fraction(0)), _only(feet), _changes(estimate, feet), covered
        )
        for level, mark, feet in _pieces(estimate)
    )


def _pieces(estimate: Estimate) -> Iterator[tuple[int, str, dict[str, Fraction]]]:
    """Level, mark, and feet by status."""
    for number, (level, measured) in enumerate(zip(estimate.house.levels, estimate.levels, strict=True)):
        by = measured.by_status
        whole = {OPEN: by.open, WRAPPED: by.wrapped, SIDED: by.sided}
        yield number, ALL, {status: feet * level.repeat for status, feet in whole.items()}
        for part in level_parts(level):
            if part.mark != ALL:
                yield number, part.mark, {part.status: part.length * level.repeat}


def _only(feet: dict[str, Fraction]) -> str | None:
    kinds = [status for status in STATUSES if feet.get(status)]
    return kinds[0] if len(kinds) == 1 else None


def _changes(estimate: Estimate, feet: dict[str, Fraction]) -> dict[str, Decimal]:
    """From the price as it is, for each siding that all of these feet could have."""
    now, none = estimate.feet, Fraction(0)
    sided, wrapped = now.second_coat - feet.get(SIDED, none), now.wrapped - feet.get(WRAPPED, none)
    all_of_them = sum(feet.values(), none)
    totals = {
        OPEN: price(now.total, sided, wrapped, estimate.rates).total,
        WRAPPED: price(now.total, sided, wrapped + all_of_them, estimate.rates).total,
        SIDED: price(now.total, sided + all_of_them, wrapped, estimate.rates).total,
    }
    return {status: total - estimate.price.total for status, total in totals.items()}
