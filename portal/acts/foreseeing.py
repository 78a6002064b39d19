"""What new rates would have made of the quotes that were sent last, shown before they are entered."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.editions import check
from portal.acts.parts import Actor, Parts, must_be_owner
from portal.core.documents import QuoteDocument
from portal.core.errors import BadInput
from portal.core.pricing.again import priced_again
from portal.core.pricing.rates import Rates, read_rates
from portal.store import quotes

MOST_QUOTES = 50


@dataclass(frozen=True, slots=True)
class Again:
    """One quote, by then and by these rates. `after` is None where the two cannot be compared.

    Because the engine of today refuses its house, or because it is in another currency.
    """

    lot_id: str
    title: str
    lot: str
    company: str
    sent_on: date
    edition: int
    currency: str
    before: Decimal
    after: Decimal | None

    @property
    def difference(self) -> Decimal | None:
        """What it would have come to more."""
        return None if self.after is None else self.after - self.before


def foresee(parts: Parts, who: Actor, document: dict[str, Any]) -> tuple[Again, ...]:
    """The last quotes that were sent, newest first, priced again. Raises `BadInput` as entering would."""
    must_be_owner(who)
    check("rates", document)
    rates = read_rates(document)
    with parts.store.reading() as work:
        sent = quotes.last_sent(work, MOST_QUOTES)
    return tuple(_again(lot_id, quote, rates) for lot_id, quote in sent)


def _again(lot_id: str, quote: QuoteDocument, rates: Rates) -> Again:
    after = None
    if quote.offer.currency == rates.currency:
        try:
            after = priced_again(quote, rates, lot_id).total
        except BadInput:
            # The quote stands as it was sent; the page says that it could not be reckoned again.
            after = None
    return Again(
        lot_id, quote.name, quote.place.lot, quote.builder.company, quote.sent_on, quote.rate_edition,
        quote.offer.currency, quote.offer.total, after,
    )  # fmt: skip
