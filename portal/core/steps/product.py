"""How gallons, containers and batches of an estimate were got, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from portal.core.estimated import Estimate
from portal.core.money.amount import two_places
from portal.core.numbers import plainly
from portal.core.words import Said, say

Line = tuple[Said, Said, str]


def product_steps(estimate: Estimate) -> Iterator[Line]:
    """What each amount is, the rule behind it, and the amount with its unit."""
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
        rule = say(
            "{total} ft ÷ {per_gallon} ft a gallon", total=two_places(feet.total), per_gallon=per_gallon
        )
    yield say("concentrate"), rule, f"{concentrate} gal"
    water = plainly(product.water_per_concentrate)
    rule = say(
        "{concentrate} gal × {water} of water to 1 of concentrate", concentrate=concentrate, water=water
    )
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
    taken = " + ".join(
        f"{count} × {plainly(container.gallons)} gal" for container, count in amounts.containers
    )
    rule = say(
        "the cheapest whole containers that hold {gallons} gal", gallons=two_places(amounts.concentrate)
    )
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
