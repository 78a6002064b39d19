"""Slices over the sum of a package's feet: what the treatment of all its lots comes to, and each lot's share.

The slices are run over the sum of the feet, and rounded once, to the cent. That whole is shared out
by feet: every lot gets the whole cents of its share, and the cents left over go to the largest
remainders, of equal ones to the lot with more feet, then by the lots' keys; so the shares add
up, and the order of the lots does not matter.

No lot's share is more than the lot would cost by itself. With rates that fall from slice to slice
(`read_rates` takes no others here) the slices of a sum never come to more a foot than those of a part of it;
only the rounding of the whole can make a cent of difference, and that cent is another lot's, or is not taken.
Second coat, unwrapping, call-out and the minimum charge are each lot's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace

from portal.core.documents import Line, Offer, QuoteDocument
from portal.core.money.amount import from_cents, in_cents
from portal.core.pricing.lines import by_bands
from portal.core.pricing.offer import LABELS, with_lines
from portal.core.pricing.rates import Rates


@dataclass(frozen=True, slots=True)
class Shares:
    """The treatment of lots together: `of` and `alone` by the lots' keys, all to the cent.

    `whole` is what the shares add up to, `alone` what each lot's slices come to by themselves.
    """

    feet: Fraction
    whole: Decimal
    of: Mapping[str, Decimal]
    alone: Mapping[str, Decimal]

    @property
    def saved(self) -> Decimal:
        """What running the slices over the sum takes off, before minimum charge, discount and tax."""
        return sum(self.alone.values(), Decimal("0.00")) - self.whole


def shares(feet: Mapping[str, Fraction], rates: Rates) -> Shares:
    """Each lot's share of the treatment of all, by keys that stay the same whatever the order."""
    total = sum(feet.values(), Fraction(0))
    alone = {key: in_cents(by_bands(own, rates)) for key, own in feet.items()}
    # Rounded up, a sum of many may be a cent above the sum of its rounded parts.
    whole = min(in_cents(by_bands(total, rates)), sum(alone.values()))
    given = _shared_out(whole, feet, total, alone) if total else alone
    return Shares(total, from_cents(whole), _amounts(given), _amounts(alone))


def _amounts(cents: Mapping[str, int]) -> dict[str, Decimal]:
    return {key: from_cents(count) for key, count in cents.items()}


def _shared_out(
    whole: int, feet: Mapping[str, Fraction], total: Fraction, most: Mapping[str, int]
) -> dict[str, int]:
    exact = {key: whole * own / total for key, own in feet.items()}
    given = {key: min(int(share), most[key]) for key, share in exact.items()}
    by_remainder = sorted(feet, key=lambda key: (int(exact[key]) - exact[key], -feet[key], key))
    left = whole - sum(given.values())
    while left:
        # Twice round only where lots stand at what they cost alone; the whole is never more than all of that.
        for key in by_remainder:
            if left and given[key] < most[key]:
                given[key] += 1
                left -= 1
    return given


def lot_by_lot(quote: QuoteDocument) -> Offer:
    """What a quote would offer if its slices ran over its own lot's feet: to say what together saves."""
    own, said = quote.offer, quote.package
    if said is None or not said.lots:
        return own
    lines = [
        replace(line, amount=said.alone) if line.what == "treatment" else line
        for line in own.lines
        if line.what != "minimum"
    ]
    engine = sum((line.amount for line in lines if line.what != "extra"), Decimal("0.00"))
    missing = quote.minimum - engine
    if missing > 0:
        lines.append(Line("minimum", str(LABELS["minimum"]), missing))
    return with_lines(own, lines)
