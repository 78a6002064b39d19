"""The minutes a crew takes, and the least it has to wait for a first coat to dry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from portal.core.numbers import summed
from portal.core.takeoff.feet import NOTHING, Feet
from portal.core.treatment.crew import Crew


@dataclass(frozen=True, slots=True)
class Minutes:
    """Minutes of the clock for each kind of work, all sprayers together, and `elapsed` for the whole."""

    setup: Fraction
    prepare: Fraction
    mix: Fraction
    first_coat: Fraction
    outside: Fraction
    unwrap: Fraction
    second_coat: Fraction
    waiting: Fraction
    cleanup: Fraction
    elapsed: Fraction
    crew_hours: Fraction


def minutes(
    feet: Feet, sided: Sequence[tuple[Fraction, int]], batches: int, dry: Fraction, crew: Crew
) -> Minutes:
    """Minutes for a house. `sided` are the stretches of the second coat: length, and how many alike."""
    each = crew.minutes_per_foot
    # Most houses have nothing wrapped or nothing sided, and nothing takes no reckoning.
    prepare = feet.total * each.prepare
    mix = batches * crew.mix_minutes_per_batch
    first_coat = feet.total * each.spray
    outside = feet.outside * each.outside if feet.outside else NOTHING
    unwrap = feet.wrapped * each.unwrap if feet.wrapped else NOTHING
    second_coat = feet.second_coat * each.second_coat if feet.second_coat else NOTHING
    wait = NOTHING
    if feet.second_coat:
        other = summed(first_coat, -feet.second_coat * each.spray, outside, unwrap)
        wait = waiting(sided, each.spray, each.second_coat, other, dry)
    fixed = (crew.setup_minutes, mix, crew.cleanup_minutes)
    elapsed = summed(*fixed, prepare, first_coat, outside, unwrap, second_coat, wait)
    return Minutes(
        crew.setup_minutes, prepare, mix, first_coat, outside, unwrap, second_coat, wait,
        crew.cleanup_minutes, elapsed, elapsed * crew.sprayers / 60,
    )  # fmt: skip


def waiting(
    stretches: Sequence[tuple[Fraction, int]],
    first: Fraction,
    second: Fraction,
    other: Fraction,
    dry: Fraction,
) -> Fraction:
    """The least minutes of waiting between the coats.

    `stretches`: length in feet and how many of it; `first` and `second`: minutes a foot of each coat;
    `other`: minutes of all other spraying, done between the coats; `dry`: minutes a first coat needs.

    All first coats, then the other work, then the second coats in the same order: a flow shop of two
    machines with a lag, for which Johnson's order waits least (S. M. Johnson, "Optimal two- and
    three-stage production schedules with setup times included", 1954).
    """
    total = summed(*(length * count for length, count in stretches))
    gained = summed(dry, -other, makespan(stretches, first, second), -total * (first + second))
    return max(NOTHING, gained)


def longest_first(first: Fraction, second: Fraction) -> bool:
    """Whether Johnson's order goes by shrinking length: where a foot takes the second coat less time."""
    return second < first


def makespan(stretches: Sequence[tuple[Fraction, int]], first: Fraction, second: Fraction) -> Fraction:
    """Johnson's makespan, in minutes: until the last second coat ends, were there no drying at all.

    Every stretch takes both coats at the same two rates. Where the second is the slower, Johnson's
    order is by growing length; where it is the quicker, by shrinking length.
    """
    # In whole numbers: lengths in 1/`unit` of a foot, both paces in 1/`part` of a minute a foot.
    unit = lcm(*(length.denominator for length, _ in stretches))
    part = lcm(first.denominator, second.denominator)
    one, two = int(first * part), int(second * part)
    ordered = sorted(
        ((length.numerator * (unit // length.denominator), count) for length, count in stretches),
        reverse=longest_first(first, second),
    )
    # Until stretch k has its first coat, then all second coats from k on: the longest of these ways
    # is the makespan. Among equal lengths only the first or the last can be k.
    longest, done, rest = 0, 0, sum(length * count for length, count in ordered)
    for length, count in ordered:
        at_first = (done + length) * one + rest * two
        done, rest = done + length * count, rest - length * count
        at_last = done * one + (rest + length) * two
        longest = max(longest, at_first, at_last)
    return Fraction(longest, unit * part)
