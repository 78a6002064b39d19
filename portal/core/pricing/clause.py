"""The siding clause: what a wall costs more when its siding is on by the day of treatment.

Agreed in advance with the quote, per lineal foot, and capped: a wall quoted
open or wrapped that is found sided gets a second coat inside (added at the
quoted rate), and its wrap need not be pulled back (taken off). A wall quoted
sided that is found bare needs no second coat, so its charge comes off. The
minimum charge holds before and after: what is added counts toward it first,
and what comes off never goes below it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from portal.core.money.amount import cents
from portal.core.words import Said, say

NONE = Decimal("0.00")


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
    """One line of the invoice that the quote did not have: which stretch, why, how much.

    `key` is the stretch's, or `minimum` or `cap`; `of` is the kind of line that it changes.
    """

    key: str
    why: Said
    feet: Fraction
    rate: Decimal
    amount: Decimal
    of: str = ""


@dataclass(frozen=True, slots=True)
class Agreed:
    """What the quote agreed: rates per foot, the cap, and how the engine's lines stand to the minimum charge.

    `charged` is the engine's lines without the minimum line; `minimum` the minimum charge.
    """

    second_coat_per_foot: Decimal
    unwrap_per_foot: Decimal
    cap: Decimal
    charged: Decimal
    minimum: Decimal


def most_it_can_come_to(walls: Iterable[Wall], second_coat_per_foot: Decimal) -> Decimal:
    """The cap: every wall not sided when quoted, at the second-coat rate."""
    rate = Fraction(second_coat_per_foot)
    return sum((cents(w.length * rate) for w in walls if w.status != "sided"), NONE)


def settle(
    walls: Iterable[Wall], found: Mapping[str, str], agreed: Agreed, off: Difference | None = None
) -> tuple[Difference, ...]:
    """The lines between quote and invoice, stretch by stretch. `found` names every stretch's status.

    What is added for a stretch is what the quote announced for it, to the cent, and all of it
    together no more than the cap. What comes off adds up to what the quote charged. `off` is a line of the
    quote's other terms that takes off; the minimum charge holds for it likewise.
    """
    second, unwrap = _Off(agreed.second_coat_per_foot), _Off(agreed.unwrap_per_foot)
    lines: list[Difference] = []
    for wall in walls:
        lines += _of_one(wall, found[wall.key], second, unwrap)
    added = sum((line.amount for line in lines if line.amount > 0), NONE)
    if added > agreed.cap:
        why = say("The siding clause comes to {cap} at most.", cap=agreed.cap)
        lines.append(Difference("cap", why, Fraction(0), Decimal(0), agreed.cap - added,
                                "second_coat"))  # fmt: skip
    if off is not None:
        lines.append(off)
    return (*lines, *_to_the_minimum(sum((line.amount for line in lines), NONE), agreed))


def _to_the_minimum(changed: Decimal, agreed: Agreed) -> list[Difference]:
    before = max(agreed.charged, agreed.minimum)
    after = max(agreed.charged + changed, agreed.minimum)
    balance = after - (before + changed)
    if not balance:
        return []
    if balance < 0:
        why = say("The differences above count toward the minimum charge.")
    else:
        why = say("The minimum charge holds, whatever comes off.")
    return [Difference("minimum", why, Fraction(0), Decimal(0), balance, "minimum")]


@dataclass(slots=True)
class _Off:
    """Takes feet off at a rate. The quote rounded all walls at once, so it is the sum that is rounded."""

    rate: Decimal
    feet: Fraction = field(default=Fraction(0))

    def take(self, feet: Fraction) -> Decimal:
        before, self.feet = self.feet, self.feet + feet
        return cents(before * Fraction(self.rate)) - cents(self.feet * Fraction(self.rate))


def _of_one(wall: Wall, found: str, second: _Off, unwrap: _Off) -> list[Difference]:
    if found == wall.status:
        return []
    lines = []

    def line(why: Said, rate: Decimal, amount: Decimal, of: str = "second_coat") -> None:
        if amount:
            lines.append(Difference(wall.key, why, wall.length, rate, amount, of))

    if found == "sided":
        more = cents(wall.length * Fraction(second.rate))
        line(say("Siding was on: second coat inside."), second.rate, more)
    if wall.status == "sided":
        less = second.take(wall.length)
        line(say("Siding was not on: no second coat was needed."), second.rate, less)
    if wall.status == "wrapped":
        line(say("No wrap to pull back."), unwrap.rate, unwrap.take(wall.length), "unwrap")
    return lines


def differences(
    walls: Iterable[Wall],
    found: Mapping[str, str],
    second_coat_per_foot: Decimal,
    unwrap_per_foot: Decimal,
    minimum_line: Decimal,
) -> tuple[Difference, ...]:
    """`settle` for a quote of which only the minimum line is known: nothing comes off below that line."""
    kept = tuple(walls)
    agreed = Agreed(
        second_coat_per_foot, unwrap_per_foot, most_it_can_come_to(kept, second_coat_per_foot),
        charged=-minimum_line, minimum=NONE if minimum_line else Decimal("-Infinity"),
    )  # fmt: skip
    return settle(kept, found, agreed)
