"""An invoice, frozen when it is issued."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from msgspec import Struct

from portal.core.documents.parties import Builder, Firm, Place
from portal.core.documents.quote import Offer
from portal.core.documents.treatment import TreatmentPhoto
from portal.core.money.interest import InterestTerms, Stretch


class DifferenceLine(Struct, frozen=True):
    """A line that the quote did not have: which stretch, why by the siding clause, how much.

    `of` is the kind of line that it changes; invoices from before that was kept do not say.
    """

    key: str
    label: str
    why: str
    feet: Decimal
    rate: Decimal
    amount: Decimal
    of: str = ""


class InterestCharge(Struct, frozen=True):
    """What an invoice of interest is for: which invoice was paid late, on which days, by which terms."""

    invoice: str
    due_on: date
    first: date
    last: date
    terms: InterestTerms
    stretches: tuple[Stretch, ...]


class InvoiceDocument(Struct, frozen=True):
    """What is owed. `quoted` is the accepted offer; `owed` adds the differences to its lines.

    `photos` are those of the walls that differ; invoices from before they were kept have none, and no `zone`.
    `interest` is what it says of being paid late, if it says anything; an invoice of interest has a `charge`.
    """

    number: str
    place: Place
    builder: Builder
    office: Firm
    quote: str
    purchase_order: str
    accepted_by: str
    treatment: str
    treated_on: date
    issued_on: date
    due_on: date
    net_days: int
    quoted: Offer
    differences: tuple[DifferenceLine, ...]
    owed: Offer
    pay_to: str
    photos: tuple[TreatmentPhoto, ...] = ()
    zone: str = ""
    interest: InterestTerms | None = None
    charge: InterestCharge | None = None

    def photos_of(self, line: DifferenceLine) -> tuple[TreatmentPhoto, ...]:
        """The photos of a difference's wall."""
        return tuple(photo for photo in self.photos if photo.wall == line.key)
