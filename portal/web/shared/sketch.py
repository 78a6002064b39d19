"""Plans on a page: of a whole house, and as much of one being typed as can be drawn already."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from flask_babel import gettext
from markupsafe import Markup

from portal.acts.estimating import story_name
from portal.core.documents import WallAsQuoted
from portal.core.money.amount import rounded
from portal.core.pricing.siding_prices import SidingPrice
from portal.core.takeoff.apart import apart
from portal.core.takeoff.found import Found, plans_found
from portal.core.takeoff.house import Level
from portal.core.takeoff.plan import Plan, plan
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import stretches
from portal.core.words import Said
from portal.drawing import plan_svg
from portal.web.shared import board, closing_offers, siding_says
from portal.web.shared.board import Board
from portal.web.shared.closing_offers import Offer
from portal.web.shared.typed_plan import rectangle_of, typed_plan, walked

WIDE, NARROW = 720, 340


@dataclass(frozen=True, slots=True)
class Drawn:
    """A level's drawing; `wide` and `narrow` are None where the outline has no shape.

    `unplaced`: its siding is told by length, not by wall. `apart`: that its rectangles make several parts.
    """

    name: str
    repeat: int
    wide: Markup | None
    narrow: Markup | None
    unplaced: bool = False
    apart: Said | None = None


@dataclass(frozen=True, slots=True)
class Sketch:
    """A level being typed: what of it has a shape, and how many of its outline's rows can be read.

    `board` is what can be taken hold of on the drawing; `offers` close a walk; `adds` are the sentences
    that say what siding does to the price, by the mark of the stretch; `apart` that it is in several parts.
    """

    drawn: Markup | None
    by: str
    read: int
    rows: int
    board: Board | None
    offers: tuple[Offer, ...]
    adds: dict[str, str]
    apart: Said | None


def drawings(house: dict[str, Any]) -> tuple[Drawn, ...]:
    """Every level of a house that the engine took, drawn once as long as the process remembers."""
    # The words of a drawing say which catalog it was drawn by; the same language may have two.
    return _drawn(json.dumps(house), _words())


def _words() -> tuple[str, str, str]:
    outside = gettext("Exterior walls to scale, each drawn by what is on its outside.")
    return gettext("Plan of %(story)s", story="%(story)s"), outside, gettext("gap")


@lru_cache(maxsize=512)
def _drawn(house: str, _words: tuple[str, str, str]) -> tuple[Drawn, ...]:
    levels = read_house(json.loads(house)).levels
    return tuple(_of_level(level, number) for number, level in enumerate(levels, 1))


def drawings_found(house: dict[str, Any], found: Mapping[str, str]) -> tuple[Drawn, ...]:
    """The same as the siding was found, by stretch key; storeys that differ are drawn apart."""
    return _drawn_found(json.dumps(house), json.dumps(dict(found)), _words())


@lru_cache(maxsize=256)
def _drawn_found(house: str, found: str, _words: tuple[str, str, str]) -> tuple[Drawn, ...]:
    plans = plans_found(json.loads(house), json.loads(found))
    return tuple(_of_plan(one, number) for number, one in enumerate(plans, 1))


def _of_plan(one: Found, number: int) -> Drawn:
    shape = replace(one.plan, gap=None)
    wide, narrow = (svg(shape, one.name, f"plan-{number}-{width}", width) for width in (WIDE, NARROW))
    unplaced = any(wall.status is None for ring in shape.rings for wall in ring)
    return Drawn(one.name, len(one.storeys), wide, narrow, unplaced)


def walls_of(house: dict[str, Any]) -> tuple[WallAsQuoted, ...]:
    """Every stretch of exterior wall of a house that the engine took."""
    return _walls(json.dumps(house))


@lru_cache(maxsize=512)
def _walls(house: str) -> tuple[WallAsQuoted, ...]:
    return tuple(
        WallAsQuoted(s.key, story_name(s), str(s.label), rounded(s.length, 2), str(s.length), s.status)
        for s in stretches(read_house(json.loads(house)))
    )


def _of_level(level: Level, number: int) -> Drawn:
    found = plan(level)
    if found is None:
        return Drawn(level.name, level.repeat, None, None)
    # A gap that was small enough to pass needs no hand on it any more; the notes tell of it.
    found = replace(found, gap=None)
    wide, narrow = (svg(found, level.name, f"plan-{number}-{width}", width) for width in (WIDE, NARROW))
    unplaced = any(wall.status is None for ring in found.rings for wall in ring)
    return Drawn(level.name, level.repeat, wide, narrow, unplaced, apart(found))


def svg(found: Plan, name: str, ident: str, width: int) -> Markup:
    """A plan as markup: all text in it is escaped where it is drawn."""
    title, desc, gap_word = _words()
    title = title.replace("%(story)s", name)
    return Markup(plan_svg(found, title=title, desc=desc, width=width, ident=ident, gap_word=gap_word))


def sketched(
    level: dict[str, Any], number: int, prices: Iterable[SidingPrice] = (), currency: str = "USD"
) -> Sketch:
    """The sketch of a level; `prices` are those of its stretches, where the house is whole."""
    outline, index = level["outline"], number - 1
    read, rows, found = _rows_read(outline), len(_rows(outline)), typed_plan(level)
    told = {price.mark: price for price in prices}
    held = board.board_of(found, level, index, NARROW, told, currency) if found else None
    adds = {
        mark: siding_says.beside(told.get(mark), currency) for mark in siding_says.marks(rows, outline["by"])
    }
    return Sketch(
        sketch(level, number),
        outline["by"],
        read,
        rows,
        held,
        closing_offers.offers(outline, index),
        adds,
        apart(found) if found else None,
    )


def _rows(outline: dict[str, Any]) -> list[dict[str, Any]]:
    return list(outline.get("walls", outline.get("rectangles", ())))


def _rows_read(outline: dict[str, Any]) -> int:
    rows = _rows(outline)
    return (
        len(walked(rows)) if outline["by"] == "walk" else sum(rectangle_of(row) is not None for row in rows)
    )


def sketch(level: dict[str, Any], number: int) -> Markup | None:
    """As much of a level being typed as has a shape: rows that cannot be read yet are left out."""
    found = typed_plan(level)
    name = level.get("name") or gettext("this story")
    return svg(found, name, f"sketch-{number}", NARROW) if found else None
