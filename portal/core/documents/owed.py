"""An invoice, frozen when it is issued."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from msgspec import Struct

from portal.core.documents.parties import Builder, Firm, Place
from portal.core.documents.quote import Offer
from portal.core.documents.treatment import TreatmentPhoto
from portal.core.money.interest import InterestTerms, Stretch
from portal.core.money.terms import BillingTerms, PromptPayment


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


class LotOnInvoice(Struct, frozen=True):
    """One lot's part of an invoice: what was quoted for it, what differs, what is owed for it."""

    place: Place
    quote: str
    purchase_order: str
    accepted_by: str
    treatment: str
    treated_on: date | None
    quoted: Offer
    differences: tuple[DifferenceLine, ...]
    owed: Offer
    photos: tuple[TreatmentPhoto, ...] = ()

    def photos_of(self, line: DifferenceLine) -> tuple[TreatmentPhoto, ...]:
        """The photos of a difference's wall."""
        return tuple(photo for photo in self.photos if photo.wall == line.key)


class DepositTaken(Struct, frozen=True):
    """A deposit that comes off an invoice: the number it was asked for under, and how much of it."""

    number: str
    amount: Decimal


class InvoiceDocument(Struct, frozen=True):
    """What is owed. `quoted` is the accepted offer; `owed` adds the differences to its lines.

    `photos` are those of the walls that differ; invoices from before they were kept have none, and no `zone`.
    `kind` is treatment, package or deposit; a deposit is for no treatment. `terms` are those of the quote;
    invoices from before quotes had any go by `net_days`. An invoice of a package has its lots in `lots`, each
    with what was quoted and is owed for it, and their sums above. `retained` is held back of the total, and
    `in_place_of` is the number of the invoice that was credited and is billed anew.
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
    treated_on: date | None
    issued_on: date
    due_on: date
    net_days: int
    quoted: Offer
    differences: tuple[DifferenceLine, ...]
    owed: Offer
    pay_to: str
    photos: tuple[TreatmentPhoto, ...] = ()
    zone: str = ""
    kind: str = "treatment"
    terms: BillingTerms | None = None
    retained: Decimal = Decimal("0.00")
    deposits: tuple[DepositTaken, ...] = ()
    prompt: PromptPayment | None = None
    lots: tuple[LotOnInvoice, ...] = ()
    package: str = ""
    in_place_of: str = ""
    interest: InterestTerms | None = None
    charge: InterestCharge | None = None

    @property
    def paid_ahead(self) -> Decimal:
        """The deposits that come off it."""
        return sum((one.amount for one in self.deposits), Decimal("0.00"))

    @property
    def asked(self) -> Decimal:
        """What it asks for in all: the total without deposits."""
        return self.owed.total - self.paid_ahead

    @property
    def due(self) -> Decimal:
        """What is due by its day: without what is held back."""
        return self.asked - self.retained

    @property
    def parts(self) -> tuple[LotOnInvoice, ...]:
        """Its lots, each by itself; of an invoice for one lot, that one."""
        return self.lots or (LotOnInvoice(
            self.place, self.quote, self.purchase_order, self.accepted_by, self.treatment, self.treated_on,
            self.quoted, self.differences, self.owed, self.photos,
        ),)  # fmt: skip

    def photos_of(self, line: DifferenceLine) -> tuple[TreatmentPhoto, ...]:
        """The photos of a difference's wall."""
        return tuple(photo for photo in self.photos if photo.wall == line.key)


class CreditLine(Struct, frozen=True):
    """A line that is taken back, whole or in part. `lot` names whose it is where there are several.

    `at` is where it stands on the invoice: the number of its lot there and its own, from 0 ("0.2").
    """

    label: str
    amount: Decimal
    lot: str = ""
    at: str = ""


class CreditNoteDocument(Struct, frozen=True):
    """What is taken back of an invoice, and why. `taken` has amounts over zero, discount and tax with them.

    The total goes off what is still asked for (`off_open`), off what is held back (`off_retained`), gives
    back deposits (`deposits`), and what was paid already becomes the builder's credit (`to_credit`).
    """

    number: str
    invoice: str
    invoice_of: date
    issued_on: date
    place: Place
    builder: Builder
    office: Firm
    reason: str
    whole: bool
    lines: tuple[CreditLine, ...]
    taken: Offer
    off_open: Decimal
    off_retained: Decimal
    to_credit: Decimal
    deposits: Decimal = Decimal("0.00")
    #: What was let off or written off already: it was never paid, so it is nobody's credit.
    let_off: Decimal = Decimal("0.00")
    purchase_order: str = ""
    package: str = ""


class RetainageDocument(Struct, frozen=True):
    """What was held back of an invoice and is due from now on. `left` is held back still."""

    number: str
    invoice: str
    invoice_of: date
    issued_on: date
    due_on: date
    place: Place
    builder: Builder
    office: Firm
    currency: str
    amount: Decimal
    left: Decimal
    pay_to: str
    purchase_order: str = ""
    package: str = ""
