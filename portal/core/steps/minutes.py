"""How the minutes and hours of an estimate were got, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from portal.core.estimated import Estimate
from portal.core.money.amount import two_places
from portal.core.numbers import plainly
from portal.core.words import Said, say

Line = tuple[Said, Said, str]


def minutes_steps(estimate: Estimate) -> Iterator[Line]:
    """What each kind of work is, the rule behind its minutes, and the minutes."""
    feet, minutes, crew = estimate.feet, estimate.minutes, estimate.crew
    yield say("setup"), say("fixed"), _min(minutes.setup)
    yield (
        say("preparing"),
        _pace(feet.total, crew.prepare_feet_per_hour, crew.sprayers),
        _min(minutes.prepare),
    )
    each = plainly(crew.mix_minutes_per_batch)
    rule = say("{count} batches × {each} min", count=estimate.amounts.batch_count, each=each)
    yield say("mixing"), rule, _min(minutes.mix)
    yield (
        say("first coat"),
        _pace(feet.total, crew.spray_feet_per_hour, crew.sprayers),
        _min(minutes.first_coat),
    )
    rule = _pace(feet.outside, crew.outside_feet_per_hour, crew.sprayers)
    yield say("from outside"), rule, _min(minutes.outside)
    rule = _pace(feet.wrapped, crew.unwrap_feet_per_hour, crew.sprayers)
    yield say("pulling back the wrap"), rule, _min(minutes.unwrap)
    rule = _pace(feet.second_coat, crew.second_coat_feet_per_hour, crew.sprayers)
    yield say("second coat"), rule, _min(minutes.second_coat)
    dry = plainly(estimate.product.dry_minutes)
    rule = say(
        "a second coat no sooner than {dry} min after the first, in the order that waits least", dry=dry
    )
    if not feet.second_coat:
        rule = say("no wall gets a second coat")
    yield say("waiting to dry"), rule, _min(minutes.waiting)
    yield say("cleanup"), say("fixed"), _min(minutes.cleanup)
    yield say("on site"), say("the sum of all these"), _min(minutes.elapsed)
    rule = say("{minutes} min × {sprayers} ÷ 60", minutes=two_places(minutes.elapsed), sprayers=crew.sprayers)
    yield say("crew hours"), rule, f"{two_places(minutes.crew_hours)} h"


def _pace(feet: Fraction, per_hour: Fraction, sprayers: int) -> Said:
    shown = {"feet": two_places(feet), "pace": plainly(per_hour)}
    if sprayers == 1:
        return say("{feet} ft ÷ {pace} ft an hour × 60", **shown)
    return say("{feet} ft ÷ {pace} ft an hour × 60 ÷ {sprayers} sprayers", sprayers=sprayers, **shown)


def _min(value: Fraction) -> str:
    return f"{two_places(value)} min"
