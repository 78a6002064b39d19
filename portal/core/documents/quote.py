"""A quote's revision, frozen when it is sent."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from msgspec import Struct

from portal.core.documents.agreement import AgreementOnQuote
from portal.core.documents.package import InPackage
from portal.core.documents.parties import Builder, Firm, Place, ProductEdition, Terms
from portal.core.money.tax_table import Taxing, TaxPart
from portal.core.money.terms import BillingTerms


class Line(Struct, frozen=True):
    """A price line. `what` is its key.

    One of treatment, second_coat, unwrap, crawl_space, call_out, minimum, extra, retreatment and difference.
    `of` is the kind of line that a difference changes. An extra of the rate book's list has a `rate`,
    `pieces` or `feet`.
    """

    what: str
    label: str
    amount: Decimal
    feet: Decimal | None = None
    rate: Decimal | None = None
    reason: str = ""
    of: str = ""
    pieces: Decimal | None = None

    @property
    def kind(self) -> str:
        """What is charged: a tax table knows a line by it, and a difference by the line it changes."""
        return self.of or self.what


class Offer(Struct, frozen=True):
    """Lines and what they add up to. Percents as entered in the rate book.

    `taxing` is by which jurisdiction's table it is taxed, and `taxes` are the parts of `tax` by it; there are
    none where the rate book's percent stands. `tax_percent` is all parts together; 0 for an exempt builder.
    """

    currency: str
    lines: tuple[Line, ...]
    subtotal: Decimal
    discount_percent: Decimal
    discount: Decimal
    tax_percent: Decimal
    tax: Decimal
    total: Decimal
    taxes: tuple[TaxPart, ...] = ()
    taxing: Taxing | None = None


class WallAsQuoted(Struct, frozen=True):
    """A stretch of exterior wall as quoted. `feet` to two places, `exact` as a fraction ("97/3")."""

    key: str
    story: str
    label: str
    feet: Decimal
    exact: str
    status: str


class ClauseWall(Struct, frozen=True):
    """What one wall costs more, before discount and tax, if its siding is on by the day of treatment."""

    key: str
    story: str
    label: str
    feet: Decimal
    amount: Decimal


class QuoteDocument(Struct, frozen=True):
    """All that a sent quote says. `house` and `estimate` are in the house document's form.

    `minimum` is the minimum charge, before discount, tax and extra lines. `days_off` are the office's own,
    on which it does not treat. `miles` are as entered, None where nobody did; `small_lot_feet` stands where
    the minimum charge is a small lot's. `same_day_off` comes off the invoice where another lot of its
    subdivision was treated before it on the same day. `billing` is how it is billed; quotes from before that
    was agreed in them have none, and go by the firm's days of the day of the invoice.
    """

    number: str
    revision: int
    place: Place
    builder: Builder
    office: Firm
    house: dict[str, Any]
    estimate: dict[str, Any]
    walls: tuple[WallAsQuoted, ...]
    offer: Offer
    clause_per_foot: Decimal
    clause_unwrap_per_foot: Decimal
    clause_walls: tuple[ClauseWall, ...]
    clause_cap: Decimal
    product: ProductEdition
    terms: Terms
    rate_edition: int
    crew_edition: int
    siding_starts: date | None
    insulation_starts: date | None
    sent_on: date
    expires_on: date
    remarks: str = ""
    minimum: Decimal = Decimal("0.00")
    days_off: tuple[date, ...] = ()
    package: InPackage | None = None
    agreement: AgreementOnQuote | None = None
    miles: Decimal | None = None
    small_lot_feet: Decimal | None = None
    same_day_off: Decimal = Decimal("0.00")
    billing: BillingTerms | None = None

    @property
    def estimated(self) -> bool:
        """Whether its feet are an estimate, because something of the house was not measured."""
        return bool(self.estimate["basis"] == "estimated")

    @property
    def name(self) -> str:
        """Number and revision, as people say it: Q-2026-0012 rev. 2."""
        return f"{self.number} rev. {self.revision}"
