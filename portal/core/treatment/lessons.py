"""What finished jobs teach: estimated against used, with its spread, and the figures that would have fitted.

Nothing is fitted that a person could not check by hand: every figure is the median of what each job by
itself says. A job whose siding was found otherwise than quoted is left out where its plan did not know.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from portal.core.treatment.crew import Crew
from portal.core.treatment.product import Product

#: So many jobs before a figure is offered from them. No source: fewer say more about a house than a crew.
FEWEST = 5


@dataclass(frozen=True, slots=True)
class Finished:
    """One job that is done: gallons of concentrate, minutes on site, feet as found.

    `share` is what a second coat was reckoned to take by the product's edition then; `interior_measured`
    whether the interior feet were taken off a plan or a tape, not reckoned from the floor area.
    """

    technician: str
    product: str
    crew_edition: int
    planned: Fraction
    used: Fraction
    planned_minutes: Fraction
    minutes: Fraction
    feet: Fraction
    second_feet: Fraction
    share: Fraction
    as_quoted: bool
    interior_feet: Fraction
    floor_area: Fraction | None
    interior_measured: bool


@dataclass(frozen=True, slots=True)
class Spread:
    """How far apart the jobs lie: count, least, lower quartile, median, upper quartile, most."""

    jobs: int
    least: Fraction
    lower: Fraction
    median: Fraction
    upper: Fraction
    most: Fraction


def spread(values: Iterable[Fraction]) -> Spread | None:
    """The spread of some values; None of none.

    Quartiles are read between the sorted values, least and most being the ends (the inclusive way).
    """
    found = sorted(values)
    if not found:
        return None
    at = [_quantile(found, Fraction(n, 4)) for n in (1, 2, 3)]
    return Spread(len(found), found[0], at[0], at[1], at[2], found[-1])


def _quantile(found: Sequence[Fraction], part: Fraction) -> Fraction:
    place = part * (len(found) - 1)
    below = place.numerator // place.denominator
    above = min(below + 1, len(found) - 1)
    return found[below] + (found[above] - found[below]) * (place - below)


@dataclass(frozen=True, slots=True)
class Lesson:
    """What the jobs of one product say, of one technician or of all of them (`technician` is empty)."""

    product: str
    technician: str
    jobs: int
    concentrate: Spread | None
    minutes: Spread | None
    feet_per_gallon: Spread | None
    second_share: Spread | None
    interior: Spread | None


def lessons(jobs: Sequence[Finished]) -> tuple[Lesson, ...]:
    """By product, all technicians first, then each by name."""
    found = []
    for product in sorted({job.product for job in jobs}):
        own = [job for job in jobs if job.product == product]
        base = _base(own)
        for name in ("", *sorted({job.technician for job in own})):
            found.append(_lesson(product, name, [j for j in own if name in ("", j.technician)], base))
    return tuple(found)


def _lesson(product: str, name: str, jobs: Sequence[Finished], base: Fraction | None) -> Lesson:
    return Lesson(
        product,
        name,
        len(jobs),
        spread(job.used / job.planned for job in jobs if job.planned and job.as_quoted),
        spread(job.minutes / job.planned_minutes for job in jobs if job.planned_minutes and job.as_quoted),
        spread(_feet_per_gallon(job, job.share) for job in jobs if job.used),
        spread(_shares(jobs, base)),
        spread(
            job.interior_feet / job.floor_area
            for job in jobs
            if job.floor_area and job.interior_measured and job.interior_feet
        ),
    )


def _feet_per_gallon(job: Finished, share: Fraction) -> Fraction:
    """Feet of first coat that a gallon treated, a foot of second coat counting as its share of one."""
    return (job.feet + share * job.second_feet) / job.used


def _base(jobs: Sequence[Finished]) -> Fraction | None:
    """Feet a gallon treats where there was no second coat: what second coats are told from."""
    plain = spread(_feet_per_gallon(job, Fraction(0)) for job in jobs if job.used and not job.second_feet)
    return plain.median if plain and plain.jobs >= FEWEST else None


def _shares(jobs: Sequence[Finished], base: Fraction | None) -> list[Fraction]:
    """What a foot of second coat took of a foot of first coat, job by job; what is under zero says none."""
    if base is None:
        return []
    coated = [job for job in jobs if job.second_feet and job.used]
    return [max(Fraction(0), (job.used * base - job.feet) / job.second_feet) for job in coated]


def product_from(jobs: Sequence[Finished], now: Product) -> Product | None:
    """The product's figures as the jobs say; None where there are too few. Coverage to 0.1 ft, share to 0.01.

    Without jobs enough of both kinds, one with a second coat and one without, the share stays as it is.
    """
    own = [job for job in jobs if job.product == now.name and job.used]
    if len(own) < FEWEST:
        return None
    shares = spread(_shares(own, _base(own)))
    share = now.second_coat_share
    if shares and shares.jobs >= FEWEST:
        share = min(Fraction(2), _to(shares.median, 100))
    feet = spread(_feet_per_gallon(job, share) for job in own)
    assert feet is not None
    return replace(now, feet_per_gallon=_to(feet.median, 10), second_coat_share=share)


def crew_from(jobs: Sequence[Finished], now: Crew, edition: int) -> Crew | None:
    """The crew's figures as the jobs say that were planned by this edition; None where there are too few.

    Only the time on site is known, not what went into each kind of work: all figures move together.
    Minutes to 0.5, speeds to whole feet an hour.
    """
    own = [job for job in jobs if job.crew_edition == edition and job.as_quoted and job.planned_minutes]
    found = spread(job.minutes / job.planned_minutes for job in own)
    if found is None or found.jobs < FEWEST or not found.median:
        return None
    by = found.median
    return replace(
        now,
        setup_minutes=_to(now.setup_minutes * by, 2),
        cleanup_minutes=_to(now.cleanup_minutes * by, 2),
        mix_minutes_per_batch=_to(now.mix_minutes_per_batch * by, 2),
        prepare_feet_per_hour=_speed(now.prepare_feet_per_hour, by),
        spray_feet_per_hour=_speed(now.spray_feet_per_hour, by),
        outside_feet_per_hour=_speed(now.outside_feet_per_hour, by),
        unwrap_feet_per_hour=_speed(now.unwrap_feet_per_hour, by),
        second_coat_feet_per_hour=_speed(now.second_coat_feet_per_hour, by),
    )


def _speed(feet_per_hour: Fraction, by: Fraction) -> Fraction:
    return max(Fraction(1), _to(feet_per_hour / by, 1))


def _to(value: Fraction, parts: int) -> Fraction:
    """Rounded to so many parts of one, half up."""
    return Fraction((value * parts + Fraction(1, 2)).__floor__(), parts)
