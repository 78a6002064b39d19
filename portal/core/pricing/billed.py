"""What an invoice adds to its quote and takes off: the siding clause on the quote's own walls and figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from portal.core.documents import DifferenceLine, Line, Offer, QuoteDocument, WallAsQuoted
from portal.core.money.amount import rounded
from portal.core.pricing.clause import Agreed, Difference, settle
from portal.core.pricing.offer import LABELS, Taxed, owed
from portal.core.words import say


@dataclass(frozen=True, slots=True)
class Priced:
    """What the clause needs of a price, named as in a quote, before there is one."""

    walls: tuple[WallAsQuoted, ...]
    offer: Offer
    clause_per_foot: Decimal
    clause_unwrap_per_foot: Decimal
    clause_cap: Decimal
    minimum: Decimal


class _Wall:
    """A quoted wall with its exact length, as the siding clause reads it."""

    def __init__(self, wall: WallAsQuoted) -> None:
        self.key, self.length, self.status = wall.key, Fraction(wall.exact), wall.status
        self.label = f"{wall.label}, {wall.story}"


def differences_found(
    quote: QuoteDocument | Priced, found: Mapping[str, str], treated_before: str = ""
) -> tuple[DifferenceLine, ...]:
    """The lines between quote and invoice. `found` is the siding by the day, by every wall's key.

    `treated_before` names the lot of the same subdivision that was treated first on that day, if one was.
    """
    walls = {wall.key: _Wall(wall) for wall in quote.walls}
    return tuple(
        _shown(line, walls)
        for line in settle(walls.values(), found, _agreed(quote), _off(quote, treated_before))
    )


def _off(quote: QuoteDocument | Priced, treated_before: str) -> Difference | None:
    """What the quote said comes off where the way was driven for another lot already."""
    amount = quote.same_day_off if isinstance(quote, QuoteDocument) and treated_before else Decimal(0)
    if not amount:
        return None
    why = say("{lot} of the same subdivision was treated before it on the same day.", lot=treated_before)
    return Difference("same_day", why, Fraction(0), Decimal(0), -amount, "call_out")


def owed_with(
    quote: QuoteDocument | Priced, differences: Iterable[DifferenceLine], on: Taxed | None = None
) -> Offer:
    """The quoted offer with these lines: what is owed, discount and tax on all of it.

    `on` is how it is taxed on the day it is owed; without it, as quoted.
    """
    return owed(quote.offer, [as_line(difference) for difference in differences], on)


def _agreed(quote: QuoteDocument | Priced) -> Agreed:
    engine = [line for line in quote.offer.lines if line.what not in ("extra", "minimum")]
    return Agreed(
        quote.clause_per_foot, quote.clause_unwrap_per_foot, quote.clause_cap,
        charged=sum((line.amount for line in engine), Decimal("0.00")), minimum=quote.minimum,
    )  # fmt: skip


def _shown(line: Difference, walls: Mapping[str, _Wall]) -> DifferenceLine:
    label = walls[line.key].label if line.key in walls else str(LABELS[line.key])
    return DifferenceLine(line.key, label, str(line.why), rounded(line.feet, 2), line.rate, line.amount,
                          line.of)  # fmt: skip


def as_line(difference: DifferenceLine) -> Line:
    """A difference as a line of an offer."""
    return Line("difference", f"{difference.label}: {difference.why}", difference.amount,
                feet=difference.feet or None, rate=difference.rate or None, of=difference.of)  # fmt: skip
