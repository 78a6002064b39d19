"""What is treated again under a warranty: nothing is owed for it, and the quote says so in one line."""

from __future__ import annotations

from decimal import Decimal

from msgspec.structs import replace

from portal.core.documents import Line, QuoteDocument
from portal.core.money.amount import cents
from portal.core.money.terms import BillingTerms
from portal.core.pricing.offer import LABELS, offer


def covered(quote: QuoteDocument, warranty: str) -> QuoteDocument:
    """The quote of a re-treatment under the warranty of this number: its feet, at nothing.

    No price stands in it, so neither does the siding clause's, nor how it would be billed.
    """
    line = Line(
        "retreatment", str(LABELS["retreatment"]), cents(0), feet=Decimal(quote.estimate["feet"]["total"]),
        reason=warranty,
    )  # fmt: skip
    return replace(
        quote, offer=offer([line], quote.offer.currency, Decimal(0), Decimal(0)), clause_walls=(),
        clause_per_foot=cents(0), clause_unwrap_per_foot=cents(0), clause_cap=cents(0), minimum=cents(0),
        same_day_off=cents(0), agreement=None,
        billing=BillingTerms(quote.billing.days) if quote.billing is not None else None,
    )  # fmt: skip
