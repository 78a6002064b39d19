"""A technician's entry: read from the form, and shown as far as it has come."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, tzinfo
from itertools import groupby
from typing import Any

from portal.acts.treating import Stop
from portal.core.documents import WallAsQuoted
from portal.core.treatment.evidence import READY, RESPIRATOR, earliest_second_coat
from portal.core.words import Said
from portal.web.shared import rows

#: What an entry may hold: the names that the evidence is read by.
_NAMES = re.compile(
    r"arrived|day|cautions|rinsed|ready\.\w+|found\.[\w.]+|(first|second)\.[\w.]+\.(start|end)|interior\.(start|end)"
    r"|product|registration|container_lot|concentrate|water|dye|conditions|problems|method"
    r"|applicator|supervisor|certificate|signed_by"
)


def read_entry(form: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by name; what is no part of an entry is left alone."""
    return {name: text.strip() for name, text in form.items() if _NAMES.fullmatch(name)}


def anchor(name: str) -> str:
    """The id that the form macros give to a field's name."""
    return re.sub(r"[^\w-]", "", name.replace(".", "-"))


@dataclass(frozen=True, slots=True)
class WallRow:
    """A stretch of wall in the entry. `second_from`: when its second coat may start; None while not known."""

    wall: WallAsQuoted
    where: str
    found: str
    twice: bool
    second_from: datetime | None


@dataclass(frozen=True, slots=True)
class BatchRow:
    """Batches that are alike, as a recipe: the numbers of the first and last, and one of them."""

    first: int
    last: int
    batch: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Shown:
    """An entry as its page shows it. `clock`: the next wall to get a second coat; `wait`: not yet."""

    values: dict[str, str]
    walls: tuple[WallRow, ...]
    coats: tuple[WallRow, ...]
    ready: dict[str, Said]
    batches: tuple[BatchRow, ...]
    clock: WallRow | None
    wait: bool
    unmarked: int


def show(stop: Stop, typed: Mapping[str, str] | None, now: datetime, zone: tzinfo) -> Shown:
    """The entry as typed or kept; what the office knows already is filled in, to be compared."""
    values = _known(stop) | dict(stop.entry if typed is None else typed)
    walls = tuple(_wall(stop, wall, values, zone) for wall in stop.sheet.walls)
    due = [row for row in walls if row.second_from and not values.get(f"second.{row.wall.key}.start")]
    clock = min(due, key=lambda row: row.second_from or now, default=None)
    crawl = {"respirator": RESPIRATOR} if stop.sheet.place.foundation == "crawl space" else {}
    wait = bool(clock and clock.second_from and clock.second_from > now)
    batches = _recipe(stop.sheet.estimate["product"]["batches"])
    # What is coated twice stands first, because it is sprayed first and dries while the rest is done.
    coats = tuple(sorted(walls, key=lambda row: not row.twice))
    return Shown(
        values, walls, coats, READY | crawl, batches, clock, wait, sum(1 for row in walls if not row.found)
    )


def _known(stop: Stop) -> dict[str, str]:
    product = stop.sheet.product
    return {
        "day": stop.day.isoformat(), "product": product.name, "registration": product.registration,
        "applicator": stop.sheet.technician, "certificate": stop.certificate,
    }  # fmt: skip


def _wall(stop: Stop, wall: WallAsQuoted, values: Mapping[str, str], zone: tzinfo) -> WallRow:
    found = values.get(f"found.{wall.key}", "")
    twice = (found or wall.status) == "sided"
    at = earliest_second_coat(values, wall.key, stop.sheet.product.dry_minutes) if twice else None
    return WallRow(
        wall, rows.where(wall), found, twice, datetime.combine(stop.day, at, tzinfo=zone) if at else None
    )


def _recipe(batches: list[dict[str, Any]]) -> tuple[BatchRow, ...]:
    found, number = [], 1
    for batch, alike in groupby(batches):
        count = len(list(alike))
        found.append(BatchRow(number, number + count - 1, batch))
        number += count
    return tuple(found)
