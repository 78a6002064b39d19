"""An agreement on prices with a builder: bands of its own or a percentage, for a while, perhaps for a place.

Which of several holds for a lot on a day is one rule: one for the lot's subdivision goes before one for all
lots of its builder; of two alike the one that began later, and of those the one with the higher number. So a
newer agreement supersedes an older one by itself, and nothing that was agreed is ever edited.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from portal.core.documents import AgreedBand, AgreementOnQuote, QuoteDocument
from portal.core.errors import BadInput, Problem
from portal.core.fields import Problems, entries, number
from portal.core.pricing.rate_rows import read_bands
from portal.core.pricing.rates import Band, falling
from portal.core.pricing.site import CRAWL_SPACE, AgreedPrices, Site
from portal.core.words import say


@dataclass(frozen=True, slots=True)
class Agreement:
    """An agreement as it was entered. `subdivision_id` is None where it is for all lots of its builder.

    `last_day` is None where it has none yet.
    """

    number: str
    company_id: str
    subdivision_id: str | None
    first_day: date
    last_day: date | None
    prices: AgreedPrices
    subdivision: str = ""

    def holds(self, day: date) -> bool:
        """Whether it is in force on a day."""
        return self.first_day <= day and (self.last_day is None or day <= self.last_day)

    def on_quote(self) -> AgreementOnQuote:
        """What a quote says of it, for good."""
        prices = self.prices
        return AgreementOnQuote(
            number=self.number, subdivision=self.subdivision, first_day=self.first_day,
            last_day=self.last_day,
            bands=tuple(_said(band) for band in prices.bands),
            percent=None if prices.bands else _exact(prices.percent),
        )  # fmt: skip


def _said(band: Band) -> AgreedBand:
    end = band.up_to_feet
    return AgreedBand(None if end is None else _exact(end), _exact(band.per_foot))


def site_quoted(quote: QuoteDocument) -> Site:
    """The lot of a quote as it was when that was sent, for `site.rates_at`."""
    taxing = quote.offer.taxing
    return Site(
        quote.place.foundation == CRAWL_SPACE,
        None if quote.miles is None else Fraction(quote.miles),
        _prices_on(quote.agreement) if quote.agreement else None,
        taxing.table if taxing else None,
        taxing.exempt if taxing else None,
    )


def _prices_on(said: AgreementOnQuote) -> AgreedPrices:
    bands = tuple(
        Band(None if band.up_to_feet is None else Fraction(band.up_to_feet), Fraction(band.per_foot))
        for band in said.bands
    )
    return AgreedPrices(bands, Fraction(said.percent or 0))


def _exact(value: Fraction) -> Decimal:
    # As entered, in decimals: nothing is lost.
    return Decimal(value.numerator) / Decimal(value.denominator)


def winning(
    agreements: Iterable[Agreement], company_id: str, subdivision_id: str | None, day: date
) -> Agreement | None:
    """The agreement that holds for a lot on a day, or None. Another builder's never does."""
    fitting = (
        one for one in agreements
        if one.company_id == company_id and one.subdivision_id in (None, subdivision_id) and one.holds(day)
    )  # fmt: skip
    return max(
        fitting, key=lambda one: (one.subdivision_id is not None, one.first_day, one.number), default=None
    )


def read_prices(document: object) -> AgreedPrices:
    """What is agreed: `bands` as in a rate book, or `percent`. Raises `BadInput`."""
    problems: Problems = []
    fields = entries(document, "", problems, (), ("bands", "percent"))
    if len(fields) != 1:
        problems.append(Problem("kind", say("Agree on bands of their own, or on a percentage off.")))
    bands = read_bands(fields["bands"], "bands", problems) if "bands" in fields else ()
    percent = None
    if "percent" in fields:
        percent = number(fields["percent"], "percent", problems, over=0, most=100)
    if not problems and not falling(bands):
        # Lots of one package may come under it; there bands must not rise.
        problems.append(Problem("bands", say("No band may have a higher rate than the one before it.")))
    if problems:
        raise BadInput(problems)
    return AgreedPrices(bands, percent or Fraction(0))
