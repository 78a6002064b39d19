"""What an estimate assumed, and what looks odd in what was entered, in plain words."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from portal.core.money.amount import two_places
from portal.core.numbers import plainly
from portal.core.takeoff.feet import RATIO, RATIO_HIGH, RATIO_LOW, Feet, LevelFeet
from portal.core.takeoff.house import House, InteriorByRatio, Level, Measured, SidingByLength
from portal.core.treatment.product import Product
from portal.core.words import Said, say

DENSE_INTERIOR = Fraction(1, 2)
# A little under four times pi, so that a circle itself is still believed.
_FOUR_PI = Fraction(1256637061435917, 10**14)


# The same few figures of a product stand in the notes of every house.
_shown = lru_cache(maxsize=256)(plainly)


def notes(house: House, levels: tuple[LevelFeet, ...], feet: Feet, product: Product) -> tuple[Said, ...]:
    """All notes of an estimate: levels in their order, then the house, then the product."""
    found: list[Said] = []
    for level, measured in zip(house.levels, levels, strict=True):
        found += _of_level(level, measured)
    if feet.estimated:
        found.append(
            say(
                "The feet are an estimate: {total} ft, between {low} and {high} ft. "
                "Product, time and price follow from the middle.",
                total=two_places(feet.total),
                low=two_places(feet.low),
                high=two_places(feet.high),
            )
        )
    return (*found, *_of_product(feet, product))


def _of_level(level: Level, feet: LevelFeet) -> Iterator[Said]:
    survey = level.survey
    if survey.estimated:
        yield say(
            "{level}: exterior feet estimated from the floor area as a rectangle twice as long as wide "
            "({middle} ft); a square has {low} ft, one four times as long as wide {high} ft.",
            level=level.name,
            middle=two_places(survey.exterior),
            low=two_places(survey.low),
            high=two_places(survey.high),
        )
    if isinstance(level.interior, InteriorByRatio):
        yield say(
            "{level}: interior feet estimated at {middle} ft per square foot of floor ({low} to {high}).",
            level=level.name,
            middle=plainly(RATIO),
            low=plainly(RATIO_LOW),
            high=plainly(RATIO_HIGH),
        )
    yield from _odd(level, feet)


def _odd(level: Level, feet: LevelFeet) -> Iterator[Said]:
    survey = level.survey
    if survey.closing_gap:
        gap = two_places(survey.closing_gap)
        yield say(
            "{level}: the walk ends {gap} ft from where it began; the feet are as measured.",
            level=level.name,
            gap=gap,
        )
    if survey.slit:
        yield say("{level}: parts of the floor lie less than an inch apart; are they one?", level=level.name)
    if isinstance(level.siding, SidingByLength) and level.siding.taken_up:
        off = two_places(abs(level.siding.taken_up))
        yield say(
            "{level}: the lengths by siding were {off} ft off the exterior feet; the longest took it.",
            level=level.name,
            off=off if off != "0.00" else "0.01",
        )
    area = survey.floor_area
    if area and feet.interior > area * DENSE_INTERIOR:
        yield say(
            "{level}: more than half a foot of interior wall to a square foot of floor; is that so?",
            level=level.name,
        )
    if isinstance(level.outline, Measured) and area and survey.exterior**2 < area * _FOUR_PI:
        yield say(
            "{level}: exterior walls of this length cannot enclose the floor area given.", level=level.name
        )


def _of_product(feet: Feet, product: Product) -> Iterator[Said]:
    yield say(
        "An open or wrapped wall is sprayed from both sides and counts once: {feet} lineal feet to a gallon "
        "of concentrate is reckoned for the whole wall. A sided wall is sprayed twice from inside and "
        "counts {times} times.",
        feet=_shown(product.feet_per_gallon),
        times=_shown(1 + product.second_coat_share),
    )
    if feet.second_coat:
        yield say(
            "A second coat is reckoned to take {percent} % of what a first coat takes.",
            percent=_shown(product.second_coat_share * 100),
        )
