"""The siding clause: what a wall costs more when its siding is on by the day of treatment.

Agreed in advance with the quote, per lineal foot, and capped: a wall quoted
open or wrapped that is found sided gets a second coat inside (added at the
quoted rate), and its wrap need not be pulled back (taken off). A wall quoted
sided that is found bare needs no second coat, so its charge comes off. What
the additions make up toward the minimum charge comes off the minimum line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from portal.core.money.amount import cents
from portal.core.words import Said, say


class Wall(Protocol):
    """A stretch of exterior wall: `length` in feet, `status` as quoted."""

    @property
    def key(self) -> str: ...
    @property
    def length(self) -> Fraction: ...
    @property
    def status(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Difference:
    """One line of the invoice that the quote did not have: which stretch, why, how much."""

    key: str
    why: Said
    feet: Fraction
    rate: Decimal
    amount: Decimal


def most_it_can_come_to(walls: Iterable[Wall], second_coat_per_foot: Decimal) -> Decimal:
    """The cap: every wall not sided when quoted, at the second-coat rate."""
    return sum(
        (cents(w.length * Fraction(second_coat_per_foot)) for w in walls if w.status != "sided"),
        Decimal("0.00"),
    )


def differences(
    walls: Iterable[Wall],
    found: Mapping[str, str],
    second_coat_per_foot: Decimal,
    unwrap_per_foot: Decimal,
    minimum_line: Decimal,
) -> tuple[Difference, ...]:
    """The lines between quote and invoice, stretch by stretch. `found` names every stretch's status."""
    lines: list[Difference] = []
    for wall in walls:
        lines += _of_one(wall, found[wall.key], second_coat_per_foot, unwrap_per_foot)
    lines = [line for line in lines if line.amount]
    added = sum((line.amount for line in lines), Decimal("0.00"))
    covered = min(minimum_line, max(added, Decimal("0.00")))
    if covered:
        lines.append(Difference("minimum", say("The differences above count toward the minimum charge."),
                                Fraction(0), Decimal(0), -covered))  # fmt: skip
    return tuple(lines)


def _of_one(wall: Wall, found: str, second: Decimal, unwrap: Decimal) -> list[Difference]:
    if found == wall.status:
        return []
    lines = []

    def line(why: Said, rate: Decimal, sign: int) -> None:
        amount = sign * cents(wall.length * Fraction(rate))
        lines.append(Difference(wall.key, why, wall.length, rate, amount))

    if found == "sided":
        line(say("Siding was on: second coat inside."), second, +1)
    if wall.status == "sided":
        line(say("Siding was not on: no second coat was needed."), second, -1)
    if wall.status == "wrapped" and found in ("sided", "open"):
        line(say("No wrap to pull back."), unwrap, -1)
    if found == "wrapped" and wall.status == "open":
        line(say("House wrap was on: pulled back, at no charge."), Decimal(0), +1)
    return lines
