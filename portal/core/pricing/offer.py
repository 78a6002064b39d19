"""From the engine's price to an offer: its lines, the office's extra lines, and the totals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from portal.core.documents import Line, Offer
from portal.core.money.invoice import totals
from portal.core.words import say

LABELS = {
    "treatment": say("Treatment of all exterior and interior walls"),
    "second_coat": say("Second coat inside where the siding is on"),
    "unwrap": say("House wrap pulled back and put up again"),
    "crawl_space": say("Crawl space"),
    "call_out": say("Call-out"),
    "minimum": say("Up to the minimum charge"),
    "same_day": say("Same subdivision, same day"),
    "cap": say("Cap of the siding clause"),
    "extra": say("Extra"),
    "difference": say("By the siding clause"),
}


def line_of(entry: Mapping[str, Any]) -> Line:
    """A line of the engine's answer as a line of an offer."""
    return Line(
        what=entry["what"], label=str(LABELS[entry["what"]]), amount=Decimal(entry["amount"]),
        feet=Decimal(entry["feet"]) if "feet" in entry else None,
        rate=Decimal(entry["rate"]) if "rate" in entry else None,
    )  # fmt: skip


def offer(lines: Iterable[Line], currency: str, discount_percent: Decimal, tax_percent: Decimal) -> Offer:
    """Lines with their totals. Discount and tax are on all of them, extras included."""
    kept = tuple(lines)
    sums = totals((line.amount for line in kept), discount_percent, tax_percent)
    return Offer(
        currency=currency, lines=kept, subtotal=sums.subtotal, discount_percent=discount_percent,
        discount=sums.discount, tax_percent=tax_percent, tax=sums.tax, total=sums.total,
    )  # fmt: skip


def offer_from(
    price: Mapping[str, Any], extras: Iterable[Line], discount_percent: Decimal, tax_percent: Decimal
) -> Offer:
    """The engine's price with the office's extra lines behind it."""
    engine = [line_of(entry) for entry in price["lines"]]
    return offer([*engine, *extras], price["currency"], discount_percent, tax_percent)


def owed(quoted: Offer, differences: Iterable[Line]) -> Offer:
    """The quoted offer with what the siding clause adds or takes off."""
    return offer([*quoted.lines, *differences], quoted.currency, quoted.discount_percent, quoted.tax_percent)
