"""Invoices before they have a number: of a lot, of a package's lots, of a deposit.

What is issued and what a dry run shows are made here, by the same functions.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from portal.acts.issuing import Draft
from portal.acts.offering import quote_document
from portal.acts.parts import Parts
from portal.acts.same_day import treated_before
from portal.acts.taxing import taxed_on
from portal.core.documents import (
    DepositTaken,
    DifferenceLine,
    InvoiceDocument,
    Line,
    LotOnInvoice,
    Offer,
    QuoteDocument,
    TreatmentDocument,
    TreatmentPhoto,
    from_stored,
)
from portal.core.errors import refuse
from portal.core.money import ledger
from portal.core.money.terms import BillingTerms, deposit_of, due_on, prompt_payment, retained_of
from portal.core.money.terms_entered import prefix_of, read_terms
from portal.core.naming import in_order
from portal.core.pricing.billed import differences_found, owed_with
from portal.core.pricing.summed import summed
from portal.core.words import say
from portal.store import billing, packages, quotes
from portal.store.transaction import Work

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Billed:
    """A lot to be billed: its quote, and its part of the invoice. `zone` is that of its record's times."""

    lot: Any
    quote: QuoteDocument
    part: LotOnInvoice
    zone: str = ""


def firm_of(parts: Parts, work: Work) -> Mapping[str, Any]:
    """The firm's edition of today: whom to pay, and how its numbers begin."""
    document = quotes.edition_on(work, "firm", parts.today()).document
    assert isinstance(document, dict)
    return document


def terms_by(quote: QuoteDocument, firm: Mapping[str, Any]) -> BillingTerms:
    """How a quote is billed; one from before that was agreed in quotes goes by the firm's days of today."""
    return quote.billing or BillingTerms(days=read_terms(firm).days)


def billed_by_package(lot: Any, quote: QuoteDocument) -> bool:
    """Whether a lot is billed together with the others of its package."""
    return bool(lot.package_id and quote.billing and quote.billing.per == "package")


def as_treated(parts: Parts, work: Work, job: Any, quote: QuoteDocument, record: TreatmentDocument) -> Billed:
    """A lot as its treatment record says it was found."""
    found = {wall.key: wall.found for wall in record.walls}
    lines = differences_found(quote, found, treated_before(work, job.lot, quote, record))
    photos = _photos_of(lines, record)
    part = _part(parts, work, job.lot, job.revision, quote, lines, record.number, record.treated_on, photos)
    return Billed(job.lot, quote, part, record.zone)


def as_known(parts: Parts, work: Work, job: Any, found: Mapping[str, str]) -> Billed:
    """A lot that is not treated yet, with the siding as it is known now: for a dry run."""
    quote = quote_document(job.revision)
    lines = differences_found(quote, {wall.key: found.get(wall.key) or wall.status for wall in quote.walls})
    return Billed(job.lot, quote, _part(parts, work, job.lot, job.revision, quote, lines, "", None, ()))


def _part(
    parts: Parts, work: Work, lot: Any, revision: Any, quote: QuoteDocument,
    lines: tuple[DifferenceLine, ...], treatment: str, treated_on: Any, photos: tuple[TreatmentPhoto, ...],
) -> LotOnInvoice:  # fmt: skip
    taxed = taxed_on(work, quote.offer, lot.company_id, parts.today())
    return LotOnInvoice(
        place=quote.place, quote=quote.name, purchase_order=revision.purchase_order,
        accepted_by=revision.decided_by, treatment=treatment, treated_on=treated_on, quoted=quote.offer,
        differences=lines, owed=owed_with(quote, lines, taxed), photos=photos,
    )  # fmt: skip


def _photos_of(lines: Iterable[DifferenceLine], record: TreatmentDocument) -> tuple[TreatmentPhoto, ...]:
    walls = {line.key for line in lines}
    return tuple(photo for photo in record.photos if photo.wall in walls)


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands on an invoice beside its lots: its package, what it is billed in place of."""

    package_id: str | None = None
    package: str = ""
    rebills_id: str | None = None
    in_place_of: str = ""


def draft_invoice(parts: Parts, work: Work, billed: Sequence[Billed], beside: Beside = Beside()) -> Draft:
    """The invoice of one lot, or of several together. Terms are those that were agreed first."""
    firm, first = firm_of(parts, work), billed[0]
    terms, issued = terms_by(first.quote, firm), parts.today()
    of_lots = tuple(one.part for one in billed)
    offers = [part.owed for part in of_lots]
    owing, quoted = summed(offers), summed([part.quoted for part in of_lots])
    lot_ids = tuple(one.lot.id for one in billed)
    used, taken = _deposits(work, lot_ids, owing.total)
    ahead = sum((one.amount for one in taken), ZERO)
    retained = min(retained_of(terms, owing.total), max(owing.total - ahead, ZERO))
    due = owing.total - ahead - retained
    part = first.part

    def make(number: str) -> InvoiceDocument:
        return InvoiceDocument(
            number=number, place=part.place, builder=first.quote.builder, office=first.quote.office,
            quote=part.quote, purchase_order=part.purchase_order, accepted_by=part.accepted_by,
            treatment=part.treatment, treated_on=part.treated_on, issued_on=issued,
            due_on=due_on(terms, issued), net_days=terms.days, quoted=quoted,
            differences=tuple(line for one in of_lots for line in one.differences), owed=owing,
            pay_to=firm["pay_to"], photos=tuple(photo for one in of_lots for photo in one.photos),
            zone=first.zone, kind="package" if beside.package_id else "treatment", terms=terms,
            retained=retained, deposits=taken, prompt=prompt_payment(terms, issued, due),
            lots=of_lots if beside.package_id else (), package=beside.package,
            in_place_of=beside.in_place_of,
        )  # fmt: skip

    return Draft(
        kind="package" if beside.package_id else "treatment", company_id=first.lot.company_id,
        lot_ids=lot_ids, total=owing.total - ahead, make=make, retained=retained,
        posts=lambda invoice_id: ledger.invoiced(invoice_id, owing, retained, ahead, offers),
        package_id=beside.package_id, rebills_id=beside.rebills_id, prefix=prefix_of(firm), deposits=used,
    )  # fmt: skip


def _deposits(
    work: Work, lot_ids: tuple[str, ...], total: Decimal
) -> tuple[tuple[tuple[str, Decimal], ...], tuple[DepositTaken, ...]]:
    """The deposits of these lots as far as they fit into the total: by id, and as the invoice names them."""
    used, taken, room = [], [], max(total, ZERO)
    for row, left in billing.deposits_of(work, lot_ids):
        amount = min(left, room)
        if amount > 0:
            used.append((row.id, amount))
            taken.append(DepositTaken(row.number, amount))
            room -= amount
    return tuple(used), tuple(taken)


def unbilled_in(parts: Parts, work: Work, package_id: str) -> list[Billed]:
    """The lots of a package that are treated and billed together, and are not yet; by their names."""
    found = []
    for job, record in billing.unbilled_in(work, package_id):
        quote = quote_document(job.revision)
        if billed_by_package(job.lot, quote):
            found.append(as_treated(parts, work, job, quote, from_stored(TreatmentDocument, record)))
    return in_order(found, lambda one: one.lot.name)


def untreated_in(work: Work, package_id: str) -> list[Any]:
    """The lots of a package that were accepted, are to be billed together, and are still to be treated."""
    return [
        job.lot for job in billing.untreated_in(work, package_id)
        if billed_by_package(job.lot, quote_document(job.revision))
    ]  # fmt: skip


def draft_package(parts: Parts, work: Work, package_id: str) -> Draft:
    """The invoice of all lots of a package that are treated and not billed. Raises `Refused` without any."""
    billed = unbilled_in(parts, work, package_id)
    if not billed:
        raise refuse("No lot of this package is treated and unbilled.")
    row = packages.package(work, package_id)
    return draft_invoice(parts, work, billed, Beside(row.id, f"{row.number}, {row.name}"))


def draft_deposit(parts: Parts, work: Work, lot: Any, revision: Any, quote: QuoteDocument) -> Draft | None:
    """The invoice of a quote's deposit; None where none was agreed. Without tax: the lot's invoice has it."""
    firm = firm_of(parts, work)
    terms = terms_by(quote, firm)
    amount = deposit_of(terms, quote.offer.total)
    if amount <= 0:
        return None
    issued = parts.today()
    label = say("Deposit of {percent} percent on quote {quote}",
                percent=f"{terms.deposit_percent.normalize():f}", quote=quote.name)  # fmt: skip
    asked = Offer(
        currency=quote.offer.currency, lines=(Line("deposit", str(label), amount),), subtotal=amount,
        discount_percent=Decimal(0), discount=ZERO, tax_percent=Decimal(0), tax=ZERO, total=amount,
    )  # fmt: skip

    def make(number: str) -> InvoiceDocument:
        return InvoiceDocument(
            number=number, place=quote.place, builder=quote.builder, office=quote.office, quote=quote.name,
            purchase_order=revision.purchase_order, accepted_by=revision.decided_by, treatment="",
            treated_on=None, issued_on=issued, due_on=due_on(terms, issued), net_days=terms.days,
            quoted=quote.offer, differences=(), owed=asked, pay_to=firm["pay_to"], kind="deposit",
            terms=terms,
        )  # fmt: skip

    return Draft(
        kind="deposit", company_id=lot.company_id, lot_ids=(lot.id,), total=amount, make=make, speaks=False,
        posts=lambda invoice_id: ledger.deposit_invoiced(invoice_id, amount), prefix=prefix_of(firm),
    )  # fmt: skip
