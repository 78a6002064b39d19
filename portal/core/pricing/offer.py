"""From the engine's price to an offer: its lines, the office's extra lines, and the totals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from portal.core.documents import Line, Offer, Taxing, TaxPart
from portal.core.money.invoice import ZERO, totals
from portal.core.money.tax import taxes
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
    "renewal": say("The next term of the warranty"),
    "transfer": say("Handing the warranty on"),
    "retreatment": say("Treated again under the warranty"),
    "difference": say("By the siding clause"),
}


def line_of(entry: Mapping[str, Any]) -> Line:
    """A line of the engine's answer as a line of an offer."""
    return Line(
        what=entry["what"], label=str(LABELS[entry["what"]]), amount=Decimal(entry["amount"]),
        feet=Decimal(entry["feet"]) if "feet" in entry else None,
        rate=Decimal(entry["rate"]) if "rate" in entry else None,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Taxed:
    """How an offer is taxed: by the rate book's percent, or where there is one by a jurisdiction's table."""

    percent: Decimal
    taxing: Taxing | None = None


def offer(
    lines: Iterable[Line], currency: str, discount_percent: Decimal, tax_percent: Decimal,
    taxing: Taxing | None = None,
) -> Offer:  # fmt: skip
    """Lines with their totals. The discount is on all of them, extras included; so is the rate book's tax.

    With `taxing` it is that table's tax, on the kinds of line that it taxes; and none where it is exempt.
    """
    kept = tuple(lines)
    amounts = [line.amount for line in kept]
    if taxing is None:
        sums = totals(amounts, discount_percent, tax_percent)
        parts: tuple[TaxPart, ...] = ()
        tax, percent = sums.tax, tax_percent
    else:
        sums = totals(amounts, discount_percent, Decimal(0))
        parts = () if taxing.exempt else taxes(
            ((line.kind, line.amount) for line in kept), sums.discount, taxing.table
        )  # fmt: skip
        tax = sum((part.amount for part in parts), ZERO)
        percent = ZERO if taxing.exempt else taxing.table.percent
    return Offer(
        currency=currency, lines=kept, subtotal=sums.subtotal, discount_percent=discount_percent,
        discount=sums.discount, tax_percent=percent, tax=tax,
        total=sums.subtotal - sums.discount + tax, taxes=parts, taxing=taxing,
    )  # fmt: skip


def offer_from(
    price: Mapping[str, Any], extras: Iterable[Line], discount_percent: Decimal, tax_percent: Decimal,
    taxing: Taxing | None = None,
) -> Offer:  # fmt: skip
    """The engine's price with the office's extra lines behind it."""
    engine = [line_of(entry) for entry in price["lines"]]
    return offer([*engine, *extras], price["currency"], discount_percent, tax_percent, taxing)


def taxed_as(offer: Offer) -> Taxed:
    """How an offer is taxed."""
    return Taxed(offer.tax_percent, offer.taxing)


def with_lines(one: Offer, lines: Iterable[Line], taxed: Taxed | None = None) -> Offer:
    """Other lines by the same discount, and taxed in the same way unless another is given."""
    by = taxed or taxed_as(one)
    return offer(lines, one.currency, one.discount_percent, by.percent, by.taxing)


def owed(quoted: Offer, differences: Iterable[Line], taxed: Taxed | None = None) -> Offer:
    """The quoted offer with what the siding clause adds or takes off."""
    return with_lines(quoted, [*quoted.lines, *differences], taxed)
