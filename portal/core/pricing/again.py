"""What a quote would have come to by other rates: its own frozen house and extra lines, the same engine."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from portal.core.answer import price_answer
from portal.core.documents import Offer, QuoteDocument
from portal.core.pricing.agreement import site_quoted
from portal.core.pricing.lines import price
from portal.core.pricing.offer import line_of, offer
from portal.core.pricing.package import shares
from portal.core.pricing.rates import Rates
from portal.core.pricing.site import rates_at
from portal.core.takeoff.feet import house_feet, level_feet
from portal.core.takeoff.reading import read_house


def priced_again(quote: QuoteDocument, book: Rates, key: str = "") -> Offer:
    """The offer of a quote by a rate book's figures. What was agreed with its builder holds as it did.

    So do its extra lines, and a jurisdiction's tax; the rate book's own tax is the new one's. In a package
    its slices run over the lots they ran over then; of a quote whose slices were its own, over its own.
    `key` is its lot's among those of its package: two of them may be called alike.
    Raises `BadInput` where the engine of today refuses its house.
    """
    rates, house = rates_at(book, site_quoted(quote)), read_house(quote.house)
    feet = house_feet(house, tuple(level_feet(level) for level in house.levels))
    found = price(feet.total, feet.second_coat, feet.wrapped, rates, _share(quote, rates, key))
    lines = [line_of(entry) for entry in price_answer(found)["lines"]]
    lines += [line for line in quote.offer.lines if line.what == "extra"]
    percents = _exact(rates.discount_percent), _exact(rates.tax_percent)
    return offer(lines, rates.currency, *percents, quote.offer.taxing)


def _share(quote: QuoteDocument, rates: Rates, key: str) -> Decimal | None:
    packed = quote.package
    if packed is None or rates.slices_over != "package":
        return None
    # Older quotes kept neither key nor exact feet; then names and what was shown stand in for them.
    feet = {one.key or one.lot: Fraction(one.exact or one.feet) for one in packed.lots}
    own = key if key in feet else quote.place.lot
    return shares(feet, rates).of[own] if own in feet else None


def _exact(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)
