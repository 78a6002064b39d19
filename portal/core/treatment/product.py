"""The product: how far a gallon goes, how it is mixed, and what it is sold in."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from portal.core.errors import BadInput
from portal.core.fields import Problems, entries, items, name, number, within
from portal.core.treatment.containers import Container, Shelf
from portal.core.words import say

MOST_CONTAINERS = 12


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
class Product:
    """A product edition, in gallons, feet, minutes and US fluid ounces; defaults are common practice.

    `feet_per_gallon` is lineal feet a gallon of concentrate treats; `second_coat_share` what a second
    coat takes of a first one's amount; `first_water_share` how much of the water goes in before the
    concentrate; `batch_gallons` of concentrate make a batch. `shelf` and `full_batch` are derived.
    """

    name: str = "borate concentrate"
    feet_per_gallon: Fraction = Fraction(100)
    water_per_concentrate: Fraction = Fraction(1)
    dye_floz_per_finished_gallon: Fraction = Fraction(1, 2)
    second_coat_share: Fraction = Fraction(1)
    dry_minutes: Fraction = Fraction(20)
    first_water_share: Fraction = Fraction(3, 4)
    batch_gallons: Fraction = Fraction(1)
    height_feet: Fraction = Fraction(2)
    containers: tuple[Container, ...] = (
        Container(Fraction(1), Fraction(92)),
        Container(Fraction(5), Fraction(415)),
    )
    shelf: Shelf = field(init=False, repr=False, compare=False)
    full_batch: Batch = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "shelf", Shelf(self.containers))
        object.__setattr__(self, "full_batch", self.batch(self.batch_gallons))

    def batch(self, concentrate: Fraction) -> Batch:
        """The recipe for so much concentrate, in gallons."""
        water = concentrate * self.water_per_concentrate
        first = water * self.first_water_share
        finished = concentrate + water
        dye = finished * self.dye_floz_per_finished_gallon
        return Batch(concentrate, water, first, water - first, dye, finished)


def read_product(document: object, at: str = "product") -> Product:
    """The product in `document`; what is left out has its default.

    Raises `BadInput` with all the problems found, their paths beginning with `at`.
    """
    problems: Problems = []
    fields = entries(document, at, problems, (), (*_BOUNDS, "name", "containers"))
    found: dict[str, object] = {}
    for key, (over, least, most) in _BOUNDS.items():
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, over=over, least=least, most=most)
    if "name" in fields:
        found["name"] = name(fields["name"], within(at, "name"), problems)
    if "containers" in fields:
        found["containers"] = _read_containers(fields["containers"], within(at, "containers"), problems)
    if problems:
        raise BadInput(problems)
    return Product(**found)  # type: ignore[arg-type]


# Over, least, most. Where zero is no amount to reckon with it is refused, else only less than zero.
_BOUNDS: dict[str, tuple[int | None, int | None, int | None]] = {
    "feet_per_gallon": (0, None, None),
    "water_per_concentrate": (None, 0, None),
    "dye_floz_per_finished_gallon": (None, 0, None),
    "second_coat_share": (None, 0, 2),
    "dry_minutes": (None, 0, None),
    "first_water_share": (None, 0, 1),
    "batch_gallons": (0, None, None),
    "height_feet": (None, 0, None),
}


def _read_containers(value: object, at: str, problems: Problems) -> tuple[Container, ...]:
    found = []
    for i, one in enumerate(items(value, at, problems, say("containers"), most=MOST_CONTAINERS)):
        here = f"{at}[{i}]"
        fields = entries(one, here, problems, ("gallons", "cost"))
        gallons = (
            number(fields["gallons"], f"{here}.gallons", problems, over=0) if "gallons" in fields else None
        )
        cost = number(fields["cost"], f"{here}.cost", problems, least=0) if "cost" in fields else None
        if gallons is not None and cost is not None:
            found.append(Container(gallons, cost))
    return tuple(found)


__all__ = ["Batch", "Container", "Product", "read_product"]
