"""An estimate in the form it is answered in: every figure a text, rounded once, here."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from portal.core.estimated import Estimate
from portal.core.money.amount import two_places
from portal.core.pricing.lines import Price, PriceLine
from portal.core.takeoff.feet import Feet, LevelFeet
from portal.core.takeoff.house import Level
from portal.core.treatment.batches import Amounts, Batch
from portal.core.treatment.minutes import Minutes


def answer(estimate: Estimate) -> dict[str, Any]:
    """The estimate as a document: feet, gallons, ounces, minutes, hours to two places, money to the cent."""
    found = {
        "name": estimate.house.name,
        "basis": estimate.feet.basis,
        "feet": _feet(estimate.feet),
        "levels": [
            _level(level, feet) for level, feet in zip(estimate.house.levels, estimate.levels, strict=True)
        ],
        "product": _product(estimate.amounts),
        "minutes": _minutes(estimate.minutes),
        "crew_hours": two_places(estimate.minutes.crew_hours),
        "price": price_answer(estimate.price),
    }
    if estimate.price_low and estimate.price_high:
        found["price_low"] = str(estimate.price_low.total)
        found["price_high"] = str(estimate.price_high.total)
    found["notes"] = [str(note) for note in estimate.notes]
    return found


def without_cost(found: dict[str, Any]) -> dict[str, Any]:
    """An answer without what the product costs the office: so it is frozen in what others are sent."""
    kept = {key: value for key, value in found["product"].items() if key != "container_cost"}
    return found | {"product": kept}


def _feet(feet: Feet) -> dict[str, str]:
    found = {
        "exterior": two_places(feet.exterior),
        "interior": two_places(feet.interior),
        "total": two_places(feet.total),
        "second_coat": two_places(feet.second_coat),
        "outside": two_places(feet.outside),
        "wrapped": two_places(feet.wrapped),
    }
    if feet.estimated:
        found["low"], found["high"] = two_places(feet.low), two_places(feet.high)
    return found


def _level(level: Level, feet: LevelFeet) -> dict[str, str]:
    found = {
        "name": level.name,
        "repeat": str(level.repeat),
        "exterior": two_places(feet.exterior),
        "interior": two_places(feet.interior),
    }
    if level.survey.floor_area is not None:
        found["floor_area"] = two_places(level.survey.floor_area)
    if level.survey.closing_gap is not None:
        found["closing_gap"] = two_places(level.survey.closing_gap)
    found["sided"] = two_places(feet.by_status.sided)
    found["wrapped"] = two_places(feet.by_status.wrapped)
    found["open"] = two_places(feet.by_status.open)
    return found


def _product(amounts: Amounts) -> dict[str, Any]:
    last = _batch(amounts.last_batch)
    full = _batch(amounts.full_batch) if amounts.batch_count > 1 else last
    return {
        "concentrate": two_places(amounts.concentrate),
        "water": two_places(amounts.water),
        "finished": two_places(amounts.finished),
        "dye_floz": two_places(amounts.dye_floz),
        "containers": [
            {"gallons": two_places(container.gallons), "count": str(count)}
            for container, count in amounts.containers
        ],
        "bought": two_places(amounts.bought),
        "left": two_places(amounts.left),
        "container_cost": two_places(amounts.container_cost),
        "batches": [dict(full) for _ in range(amounts.batch_count - 1)] + [last],
    }


def _batch(batch: Batch) -> dict[str, str]:
    return {
        "concentrate": two_places(batch.concentrate),
        "water": two_places(batch.water),
        "first_water": two_places(batch.first_water),
        "rinse_water": two_places(batch.rinse_water),
        "dye": two_places(batch.dye),
        "finished": two_places(batch.finished),
    }


_KINDS = (
    "setup", "prepare", "mix", "first_coat", "outside", "unwrap", "second_coat", "waiting", "cleanup",
    "elapsed",
)  # fmt: skip


def _minutes(minutes: Minutes) -> dict[str, str]:
    return {kind: two_places(getattr(minutes, kind)) for kind in _KINDS}


def price_answer(price: Price) -> dict[str, Any]:
    """A price in the form it is answered in."""
    return {
        "currency": price.currency,
        "lines": [_line(line) for line in price.lines],
        "subtotal": str(price.subtotal),
        "discount": str(price.discount),
        "tax": str(price.tax),
        "total": str(price.total),
    }


def _line(line: PriceLine) -> dict[str, str]:
    found: dict[str, str | Decimal] = {"what": line.what}
    if line.feet is not None:
        found["feet"] = two_places(line.feet)
    if line.rate is not None:
        found["rate"] = two_places(line.rate)
    found["amount"] = str(line.amount)
    return {key: str(value) for key, value in found.items()}
