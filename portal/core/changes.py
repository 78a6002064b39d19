"""What changed between two houses: feet story by story, price line by line, each with its difference.

Every figure is rounded once, as an estimate shows it, and differences are taken of what is shown: so a row
adds up from left to right. From top to bottom feet may miss a hundredth, because a total is rounded from
the exact feet; then a row of its own says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from portal.core.money.amount import rounded
from portal.core.takeoff.feet import feet_of, level_feet
from portal.core.takeoff.house import House, Level

NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Change:
    """One figure before and after, None where there is none. `was` is what a story was called before."""

    what: str
    before: Decimal | None
    after: Decimal | None
    story: str = ""
    was: str = ""

    @property
    def difference(self) -> Decimal:
        """What it is more, or less."""
        return (self.after or NOTHING) - (self.before or NOTHING)


def feet_changes(before: House, after: House) -> tuple[Change, ...]:
    """Exterior and interior feet of every story, all its repeats together; last the total."""
    rows = [row for pair in _paired(before.levels, after.levels) for row in _of_story(*pair)]
    total = Change("total", _shown(feet_of(before).total), _shown(feet_of(after).total))
    return (*rows, *_rounding(rows, total), total)


def _of_story(before: Level | None, after: Level | None) -> Iterator[Change]:
    named = after or before
    assert named is not None
    was = before.name if before and after and before.name != after.name else ""
    old, new = _feet(before), _feet(after)
    for what in ("exterior", "interior"):
        yield Change(what, old.get(what), new.get(what), named.name, was)


def _feet(level: Level | None) -> dict[str, Decimal]:
    if level is None:
        return {}
    feet = level_feet(level)
    return {
        "exterior": _shown(feet.exterior * level.repeat),
        "interior": _shown(feet.interior * level.repeat),
    }


def _shown(feet: Fraction) -> Decimal:
    return rounded(feet, 2)


def _rounding(rows: list[Change], total: Change) -> Iterator[Change]:
    before, after = _sum(row.before for row in rows), _sum(row.after for row in rows)
    missing = (total.before or NOTHING) - before, (total.after or NOTHING) - after
    if any(missing):
        yield Change("rounding", *missing)


def _sum(amounts: Iterable[Decimal | None]) -> Decimal:
    return sum((amount for amount in amounts if amount is not None), NOTHING)


def _paired(
    before: tuple[Level, ...], after: tuple[Level, ...]
) -> Iterator[tuple[Level | None, Level | None]]:
    """Stories that are the same one: by name, else in the same place; those that went come last."""
    left = dict(enumerate(before))
    found: dict[int, Level] = {}
    for place, level in enumerate(after):
        same = next((n for n, old in left.items() if old.name.casefold() == level.name.casefold()), None)
        if same is not None:
            found[place] = left.pop(same)
    for place, level in enumerate(after):
        yield found.get(place) or left.pop(place, None), level
    yield from ((gone, None) for gone in left.values())


def price_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Change, ...]:
    """Two prices of the engine by the same rates: each line of either, discount and tax, last the total."""
    old, new = _lines(before), _lines(after)
    order = [*new, *(what for what in old if what not in new)]
    rows = [Change(what, old.get(what), new.get(what)) for what in order]
    # A discount is shown as what it is in the sum: less.
    for what, sign in (("discount", -1), ("tax", 1)):
        amounts = Decimal(before[what]) * sign, Decimal(after[what]) * sign
        if any(amounts):
            rows.append(Change(what, *amounts))
    return (*rows, Change("total", Decimal(before["total"]), Decimal(after["total"])))


def _lines(price: Mapping[str, Any]) -> dict[str, Decimal]:
    return {line["what"]: Decimal(line["amount"]) for line in price["lines"]}
