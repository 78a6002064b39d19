"""A technician's entry: read from the form, and shown as far as it has come."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time, tzinfo
from fractions import Fraction
from itertools import groupby
from typing import Any

from portal.acts.photographing import PhotoView
from portal.acts.treating import Stop, stop_of_steps
from portal.core.documents import WallAsQuoted
from portal.core.treatment.coats import Coat, NextCoat, by_shrinking_length, next_coat, order, read_coats
from portal.core.treatment.entries import NAMES
from portal.core.treatment.evidence import READY, RESPIRATOR, earliest_second_coat
from portal.core.treatment.steps import Step, steps
from portal.core.words import Said
from portal.web.shared import rows


def read_entry(form: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by name; what is no part of an entry is left alone."""
    return {name: text.strip() for name, text in form.items() if NAMES.fullmatch(name)}


def read_seen(form: Mapping[str, str]) -> int | None:
    """The number of the newest entry that the form was shown."""
    seen = form.get("seen", "")
    return int(seen) if re.fullmatch("[0-9]{1,9}", seen) else None


def anchor(name: str) -> str:
    """The id that the form macros give to a field's name."""
    return re.sub(r"[^\w-]", "", name.replace(".", "-"))


@dataclass(frozen=True, slots=True)
class WallRow:
    """A stretch of wall in the entry. `second_from`: when its second coat may start; None while not known.

    `place` is its place on the sheet, `turn` that among those coated twice, whichever these turn out to be.
    """

    wall: WallAsQuoted
    where: str
    found: str
    twice: bool
    second_from: datetime | None
    dried: bool
    place: int
    turn: int
    photos: tuple[PhotoView, ...]

    @property
    def differs(self) -> bool:
        """Whether it was found otherwise than quoted."""
        return bool(self.found) and self.found != self.wall.status


@dataclass(frozen=True, slots=True)
class BatchRow:
    """Batches that are alike, as a recipe: the numbers of the first and last, and one of them."""

    first: int
    last: int
    batch: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Shown:
    """An entry as its page shows it. `do`: what the coat clock says to do now, at the stretch `at`."""

    values: dict[str, str]
    walls: tuple[WallRow, ...]
    coats: tuple[WallRow, ...]
    ready: dict[str, Said]
    batches: tuple[BatchRow, ...]
    steps: tuple[Step, ...]
    do: NextCoat
    at: WallRow | None
    drying: tuple[WallRow, ...]
    unmarked: int
    problem_photos: tuple[PhotoView, ...]

    def needs(self, key: str) -> str:
        """The fields that a step needs, as its script reads them."""
        return " ".join(next(step.needs for step in self.steps if step.key == key))


def show(stop: Stop, typed: Mapping[str, str] | None, now: datetime, zone: tzinfo) -> Shown:
    """The entry as typed or kept; what the office knows already is filled in, to be compared."""
    values = _known(stop) | dict(stop.entry if typed is None else typed)
    walls = _walls(stop, values, zone, now)
    drying = [row for row in walls if row.second_from and not values.get(f"second.{row.wall.key}.start")]
    crawl = {"respirator": RESPIRATOR} if stop.sheet.place.foundation == "crawl space" else {}
    kept = stop.entry if typed is None else typed
    do = _next(stop, walls, values, now.astimezone(zone).time())
    return Shown(
        values, walls, tuple(sorted(walls, key=_sprayed)), READY | crawl,
        _recipe(stop.sheet.estimate["product"]["batches"]),
        steps(stop_of_steps(stop.sheet), kept, {p.wall for p in stop.photos}), do,
        next((row for row in walls if row.wall.key == do.key), None),
        tuple(sorted(drying, key=lambda row: row.second_from or now)),
        sum(1 for row in walls if not row.found), tuple(p for p in stop.photos if not p.wall),
    )  # fmt: skip


def _sprayed(row: WallRow) -> tuple[bool, int]:
    # What is coated twice stands first, because it is sprayed first and dries while the rest is done.
    return not row.twice, row.turn if row.twice else row.place


def _known(stop: Stop) -> dict[str, str]:
    product = stop.sheet.product
    return {
        "day": stop.day.isoformat(), "product": product.name, "registration": product.registration,
        "applicator": stop.sheet.technician, "certificate": stop.certificate,
        "supervisor": stop.supervisor,
    }  # fmt: skip


def _walls(stop: Stop, values: Mapping[str, str], zone: tzinfo, now: datetime) -> tuple[WallRow, ...]:
    alike = [Coat(wall.key, Fraction(wall.exact), True) for wall in stop.sheet.walls]
    ordered = order(alike, by_shrinking_length(stop.sheet.estimate))
    turn = {coat.key: n for n, coat in enumerate(ordered)}
    return tuple(
        _wall(stop, wall, values, zone, now, place, turn[wall.key])
        for place, wall in enumerate(stop.sheet.walls)
    )


def _coats(stop: Stop, values: Mapping[str, str]) -> list[Coat]:
    stretches = [
        (wall.key, Fraction(wall.exact), (values.get(f"found.{wall.key}") or wall.status) == "sided")
        for wall in stop.sheet.walls
    ]
    return read_coats(stretches, Fraction(stop.sheet.estimate["feet"]["interior"]), values)


def _next(stop: Stop, walls: tuple[WallRow, ...], values: Mapping[str, str], now: time) -> NextCoat:
    dry = Fraction(stop.sheet.product.dry_minutes)
    at = Fraction(now.hour * 60 + now.minute)
    return next_coat(_coats(stop, values), at, dry, by_shrinking_length(stop.sheet.estimate))


def _wall(
    stop: Stop,
    wall: WallAsQuoted,
    values: Mapping[str, str],
    zone: tzinfo,
    now: datetime,
    place: int,
    turn: int,
) -> WallRow:
    found = values.get(f"found.{wall.key}", "")
    twice = (found or wall.status) == "sided"
    at = earliest_second_coat(values, wall.key, stop.sheet.product.dry_minutes) if twice else None
    photos = tuple(photo for photo in stop.photos if photo.wall == wall.key)
    second_from = datetime.combine(stop.day, at, tzinfo=zone) if at else None
    return WallRow(wall, rows.where(wall), found, twice, second_from,
        bool(second_from and second_from <= now), place, turn, photos)  # fmt: skip


def _recipe(batches: list[dict[str, Any]]) -> tuple[BatchRow, ...]:
    found, number = [], 1
    for batch, alike in groupby(batches):
        count = len(list(alike))
        found.append(BatchRow(number, number + count - 1, batch))
        number += count
    return tuple(found)
