"""How the feet of an estimate were got, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from portal.core.estimated import Estimate
from portal.core.money.amount import two_places
from portal.core.numbers import plainly
from portal.core.takeoff.feet import RATIO, LevelFeet
from portal.core.takeoff.house import (
    ByArea,
    InteriorByRatio,
    Level,
    Rectangles,
    Walk,
)
from portal.core.words import Said, say

Line = tuple[Said, Said, str]


def feet_steps(estimate: Estimate) -> Iterator[Line]:
    """What each figure of feet is, the rule behind it, and the result in feet."""
    feet = estimate.feet
    for level, measured in zip(estimate.house.levels, estimate.levels, strict=True):
        yield (
            say("{level}: exterior", level=level.name),
            _exterior(level),
            f"{two_places(measured.exterior)} ft",
        )
        yield (
            say("{level}: interior", level=level.name),
            _interior(level),
            f"{two_places(measured.interior)} ft",
        )
    exterior, interior = two_places(feet.exterior), two_places(feet.interior)
    yield say("exterior"), _sum(estimate, [two_places(f.exterior) for f in estimate.levels]), f"{exterior} ft"
    yield say("interior"), _sum(estimate, [two_places(f.interior) for f in estimate.levels]), f"{interior} ft"
    rule = say("{exterior} ft + {interior} ft", exterior=exterior, interior=interior)
    yield say("total"), rule, f"{two_places(feet.total)} ft"
    if feet.estimated:
        yield say("total, low"), say("every estimate at its low end"), f"{two_places(feet.low)} ft"
        yield say("total, high"), say("every estimate at its high end"), f"{two_places(feet.high)} ft"
    sided = [two_places(f.by_status.sided) for f in estimate.levels]
    yield say("second coat (siding on)"), _sum(estimate, sided), f"{two_places(feet.second_coat)} ft"
    outside = [_outside(f) for f in estimate.levels]
    yield say("from outside (open and wrapped)"), _sum(estimate, outside), f"{two_places(feet.outside)} ft"
    wrapped = [two_places(f.by_status.wrapped) for f in estimate.levels]
    yield say("wrap to pull back"), _sum(estimate, wrapped), f"{two_places(feet.wrapped)} ft"


def _outside(feet: LevelFeet) -> str:
    return two_places(feet.by_status.open + feet.by_status.wrapped)


def _sum(estimate: Estimate, each: list[str]) -> Said:
    parts = [
        f"{level.repeat} × {shown} ft" if level.repeat > 1 else f"{shown} ft"
        for level, shown in zip(estimate.house.levels, each, strict=True)
    ]
    return say("{parts}", parts=" + ".join(parts))


def _exterior(level: Level) -> Said:
    outline, survey = level.outline, level.survey
    if isinstance(outline, Rectangles) and survey.faces:
        north, east, south, west = (two_places(feet) for feet in survey.faces)
        if len(outline.rectangles) == 1:
            return say("around one rectangle: 2 × ({north} ft + {east} ft)", north=north, east=east)
        return say(
            "around {count} rectangles: north {north} ft, east {east} ft, south {south} ft, west {west} ft",
            count=len(outline.rectangles),
            north=north,
            east=east,
            south=south,
            west=west,
        )
    if isinstance(outline, Walk):
        return say("the sum of {count} walls", count=len(outline.walls))
    if isinstance(outline, ByArea):
        return say(
            "estimated: around {area} ft², twice as long as wide, 6 × √({area} ÷ 2)",
            area=plainly(outline.floor_area),
        )
    return say("as measured")


def _interior(level: Level) -> Said:
    if isinstance(level.interior, InteriorByRatio):
        area = two_places(level.survey.floor_area or level.survey.exterior * 0)
        return say("estimated: {area} ft² × {ratio} ft per ft²", area=area, ratio=plainly(RATIO))
    return say("as measured")
