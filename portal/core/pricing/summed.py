"""Offers of several lots as one: their lines one after another, and their sums.

Each lot keeps its own discount and tax, as agreed in its own quote, to the cent: the sums are sums of those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from portal.core.documents import Offer, TaxPart
from portal.core.money.invoice import ZERO


def summed(offers: Sequence[Offer]) -> Offer:
    """One offer of several. How it is taxed, and percentages, stand where all have the same."""
    if len(offers) == 1:
        return offers[0]
    parts: dict[tuple[object, ...], TaxPart] = {}
    for part in (part for offer in offers for part in offer.taxes):
        key = (part.jurisdiction, part.name, part.percent)
        before = parts.get(key)
        parts[key] = part if before is None else replace(
            before, taxable=before.taxable + part.taxable, amount=before.amount + part.amount
        )  # fmt: skip
    # Parts are kept only where every lot's tax is in parts: else they would not add up to the tax.
    every = all(offer.taxes or not offer.tax for offer in offers)
    discounts, taxes = ({offer.discount_percent for offer in offers}, {offer.tax_percent for offer in offers})
    return Offer(
        currency=offers[0].currency, lines=tuple(line for offer in offers for line in offer.lines),
        subtotal=sum((offer.subtotal for offer in offers), ZERO),
        discount_percent=discounts.pop() if len(discounts) == 1 else ZERO,
        discount=sum((offer.discount for offer in offers), ZERO),
        tax_percent=taxes.pop() if len(taxes) == 1 else ZERO,
        tax=sum((offer.tax for offer in offers), ZERO), total=sum((offer.total for offer in offers), ZERO),
        taxes=tuple(parts.values()) if every else (),
        taxing=offers[0].taxing if all(offer.taxing == offers[0].taxing for offer in offers) else None,
    )  # fmt: skip
