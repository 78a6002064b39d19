"""The crew: how fast it works. The defaults are invented; the office enters its own."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from portal.core.errors import BadInput
from portal.core.fields import Problems, entries, number, whole, within

MOST_SPRAYERS = 20


@dataclass(frozen=True, slots=True)
class Crew:
    """A crew edition: fixed minutes, lineal feet an hour of one sprayer, and minutes a batch takes to mix.

    `minutes_per_foot` is derived: what one foot takes the whole crew, by kind of work.
    """

    sprayers: int = 1
    setup_minutes: Fraction = Fraction(20)
    cleanup_minutes: Fraction = Fraction(15)
    prepare_feet_per_hour: Fraction = Fraction(600)
    spray_feet_per_hour: Fraction = Fraction(400)
    outside_feet_per_hour: Fraction = Fraction(400)
    unwrap_feet_per_hour: Fraction = Fraction(300)
    second_coat_feet_per_hour: Fraction = Fraction(600)
    mix_minutes_per_batch: Fraction = Fraction(6)
    minutes_per_foot: MinutesPerFoot = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        rates = (
            self.prepare_feet_per_hour,
            self.spray_feet_per_hour,
            self.outside_feet_per_hour,
            self.unwrap_feet_per_hour,
            self.second_coat_feet_per_hour,
        )
        per_foot = MinutesPerFoot(*(60 / rate / self.sprayers for rate in rates))
        object.__setattr__(self, "minutes_per_foot", per_foot)


@dataclass(frozen=True, slots=True)
class MinutesPerFoot:
    """Minutes that one lineal foot takes all sprayers together, by kind of work."""

    prepare: Fraction
    spray: Fraction
    outside: Fraction
    unwrap: Fraction
    second_coat: Fraction


_MINUTES = ("setup_minutes", "cleanup_minutes", "mix_minutes_per_batch")
_RATES = (
    "prepare_feet_per_hour",
    "spray_feet_per_hour",
    "outside_feet_per_hour",
    "unwrap_feet_per_hour",
    "second_coat_feet_per_hour",
)


def read_crew(document: object, at: str = "crew") -> Crew:
    """The crew in `document`; what is left out has its default.

    Raises `BadInput` with all the problems found, their paths beginning with `at`.
    """
    problems: Problems = []
    fields = entries(document, at, problems, (), ("sprayers", *_MINUTES, *_RATES))
    found: dict[str, object] = {}
    if "sprayers" in fields:
        found["sprayers"] = whole(fields["sprayers"], within(at, "sprayers"), problems, 1, MOST_SPRAYERS)
    for key in _MINUTES:
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, least=0)
    for key in _RATES:
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, over=0)
    if problems:
        raise BadInput(problems)
    return Crew(**found)  # type: ignore[arg-type]
