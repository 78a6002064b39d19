"""The arithmetic behind an estimate, figure by figure, for people to follow on a screen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from portal.core.estimated import Estimate
from portal.core.money.amount import two_places
from portal.core.numbers import plainly
from portal.core.steps_of_feet import feet_steps
from portal.core.steps_of_price import price_steps
from portal.core.words import Said, say


@dataclass(frozen=True, slots=True)
class Step:
    """One figure: `group` is feet, product, minutes or price; `rule` how it was got, `result` with its unit."""

    group: str
    what: Said
    rule: Said
    result: str


def steps(estimate: Estimate) -> tuple[Step, ...]:
    """Every figure of the estimate in the order in which it is reckoned."""
    return (
        *(Step("feet", *line) for line in feet_steps(estimate)),
        *(Step("product", *line) for line in _product(estimate)),
        *(Step("minutes", *line) for line in _minutes(estimate)),
        *(Step("price", *line) for line in price_steps(estimate)),
    )


Line = tuple[Said, Said, str]


def _product(estimate: Estimate) -> Iterator[Line]:
    product, amounts, feet = estimate.product, estimate.amounts, estimate.feet
    concentrate, finished = two_places(amounts.concentrate), two_places(amounts.finished)
    per_gallon = plainly(product.feet_per_gallon)
    if feet.second_coat:
        rule = say(
            "({total} ft + {share} × {second} ft) ÷ {per_gallon} ft a gallon",
            total=two_places(feet.total),
            share=plainly(product.second_coat_share),
            second=two_places(feet.second_coat),
            per_gallon=per_gallon,
        )
    else:
        rule = say("{total} ft ÷ {per_gallon} ft a gallon", total=two_places(feet.total), per_gallon=per_gallon)
    yield say("concentrate"), rule, f"{concentrate} gal"
    water = plainly(product.water_per_concentrate)
    rule = say("{concentrate} gal × {water} of water to 1 of concentrate", concentrate=concentrate, water=water)
    yield say("water"), rule, f"{two_places(amounts.water)} gal"
    rule = say("{concentrate} gal + {water} gal", concentrate=concentrate, water=two_places(amounts.water))
    yield say("finished mix"), rule, f"{finished} gal"
    dye = plainly(product.dye_floz_per_finished_gallon)
    rule = say("{finished} gal × {dye} fl oz a finished gallon", finished=finished, dye=dye)
    yield say("marking dye"), rule, f"{two_places(amounts.dye_floz)} fl oz"
    yield from _containers(estimate)
    yield from _batches(estimate)


def _containers(estimate: Estimate) -> Iterator[Line]:
    amounts = estimate.amounts
    taken = " + ".join(f"{count} × {plainly(container.gallons)} gal" for container, count in amounts.containers)
    rule = say("the cheapest whole containers that hold {gallons} gal", gallons=two_places(amounts.concentrate))
    yield say("containers"), rule, taken
    yield say("bought"), say("{taken}", taken=taken), f"{two_places(amounts.bought)} gal"
    bought, used = two_places(amounts.bought), two_places(amounts.concentrate)
    rule = say("{bought} gal − {used} gal", bought=bought, used=used)
    yield say("left over"), rule, f"{two_places(amounts.left)} gal"
    costs = " + ".join(f"{count} × {two_places(container.cost)}" for container, count in amounts.containers)
    cost = f"{two_places(amounts.container_cost)} {estimate.rates.currency}"
    yield say("cost of the containers"), say("{taken}", taken=costs), cost


def _batches(estimate: Estimate) -> Iterator[Line]:
    amounts, product = estimate.amounts, estimate.product
    rule = say(
        "{gallons} gal ÷ {batch} gal a batch, rounded up",
        gallons=two_places(amounts.concentrate),
        batch=plainly(product.batch_gallons),
    )
    yield say("batches"), rule, str(amounts.batch_count)
    last = amounts.last_batch
    rule = say(
        "{concentrate} gal concentrate and {water} gal water, of which {share} % first and the rest to rinse",
        concentrate=two_places(last.concentrate),
        water=two_places(last.water),
        share=plainly(product.first_water_share * 100),
    )
    shown = f"{two_places(last.first_water)} gal + {two_places(last.rinse_water)} gal"
    yield say("water of the last batch"), rule, shown


def _minutes(estimate: Estimate) -> Iterator[Line]:
    feet, minutes, crew = estimate.feet, estimate.minutes, estimate.crew
    yield say("setup"), say("fixed"), _min(minutes.setup)
    yield say("preparing"), _pace(feet.total, crew.prepare_feet_per_hour, crew.sprayers), _min(minutes.prepare)
    each = plainly(crew.mix_minutes_per_batch)
    rule = say("{count} batches × {each} min", count=estimate.amounts.batch_count, each=each)
    yield say("mixing"), rule, _min(minutes.mix)
    yield say("first coat"), _pace(feet.total, crew.spray_feet_per_hour, crew.sprayers), _min(minutes.first_coat)
    rule = _pace(feet.outside, crew.outside_feet_per_hour, crew.sprayers)
    yield say("from outside"), rule, _min(minutes.outside)
    rule = _pace(feet.wrapped, crew.unwrap_feet_per_hour, crew.sprayers)
    yield say("pulling back the wrap"), rule, _min(minutes.unwrap)
    rule = _pace(feet.second_coat, crew.second_coat_feet_per_hour, crew.sprayers)
    yield say("second coat"), rule, _min(minutes.second_coat)
    dry = plainly(estimate.product.dry_minutes)
    rule = say("a second coat no sooner than {dry} min after the first, in the order that waits least", dry=dry)
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
