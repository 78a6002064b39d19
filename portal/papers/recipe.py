"""The batches of a job as a recipe to work by: equal ones told once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import groupby

#: NIST Handbook 44, appendix C.
FLUID_OUNCES_IN_A_GALLON = 128


@dataclass(frozen=True, slots=True)
class Batches:
    """Equal batches, `first` to `last` (from 1). Gallons, and dye in fluid ounces."""

    first: int
    last: int
    concentrate: Decimal
    first_water: Decimal
    rinse_water: Decimal
    dye: Decimal
    finished: Decimal


def recipe(batches: Iterable[Mapping[str, str]]) -> tuple[Batches, ...]:
    """The estimate's batches, in order, equal neighbors joined."""
    lines, number = [], 0
    for batch, equals in groupby(batches, key=dict):
        count = len(list(equals))
        lines.append(
            Batches(
                number + 1,
                number + count,
                Decimal(batch["concentrate"]),
                Decimal(batch["first_water"]),
                Decimal(batch["rinse_water"]),
                Decimal(batch["dye"]),
                Decimal(batch["finished"]),
            )
        )
        number += count
    return tuple(lines)


def ounces(gallons: Decimal) -> Decimal:
    """Gallons as whole fluid ounces, for a measuring jug."""
    return (gallons * FLUID_OUNCES_IN_A_GALLON).quantize(Decimal(1), ROUND_HALF_UP)
