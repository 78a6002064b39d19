"""The invoice that a treatment turns into."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from portal.acts.issuing import Draft, issue
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.paying import record_payment as record_payment
from portal.acts.settling import settle
from portal.acts.taxing import taxed_on
from portal.core.documents import (
    DifferenceLine,
    InvoiceDocument,
    QuoteDocument,
    TreatmentDocument,
    TreatmentPhoto,
    from_stored,
)
from portal.core.money import ledger
from portal.core.pricing.billed import differences_found, owed_with
from portal.store import quotes, reads
from portal.store.transaction import Work


def bill(
    parts: Parts, work: Work, who: Actor, job: Any, quote: QuoteDocument, record: TreatmentDocument
) -> Any:
    """Issue the invoice as the job is marked treated: quoted lines, and what the clause allows.

    The firm's terms of payment are those of the day of issue.
    """
    firm = quotes.edition_on(work, "firm", parts.today()).document
    net_days = int(firm["net_days"])
    lines = differences_found(quote, {wall.key: wall.found for wall in record.walls})
    issued = parts.today()
    owing = owed_with(quote, lines, taxed_on(work, quote.offer, job.lot.company_id, issued))

    def make(number: str) -> InvoiceDocument:
        return InvoiceDocument(
            number=number, place=quote.place, builder=quote.builder, office=quote.office, quote=quote.name,
            purchase_order=job.revision.purchase_order, accepted_by=job.revision.decided_by,
            treatment=record.number, treated_on=record.treated_on, issued_on=issued,
            due_on=issued + timedelta(days=net_days), net_days=net_days, quoted=quote.offer,
            differences=lines, owed=owing, pay_to=firm["pay_to"], photos=_photos_of(lines, record),
            zone=record.zone,
        )  # fmt: skip

    return issue(parts, work, who, Draft(
        kind="treatment", company_id=job.lot.company_id, lot_ids=(job.lot_id,), total=owing.total, make=make,
        posts=lambda invoice_id: ledger.invoiced(invoice_id, owing),
    ))  # fmt: skip


def _photos_of(lines: Iterable[DifferenceLine], record: TreatmentDocument) -> tuple[TreatmentPhoto, ...]:
    walls = {line.key for line in lines}
    return tuple(photo for photo in record.photos if photo.wall in walls)


def settle_when_nothing_is_owed(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """An invoice of nothing is paid as it stands: no payment could ever release its warranty."""
    if invoice.total <= 0:
        settle(parts, work, who, invoice)


def invoice_document(invoice: Any) -> InvoiceDocument:
    """The frozen document of an invoice."""
    return from_stored(InvoiceDocument, invoice.document)


def money_in(parts: Parts, who: Actor) -> list[reads.InvoiceRow]:
    """Every invoice with what is open of it: the office's all, a builder's own."""
    must_be(who, "office", "builder")
    must_have(who, "money")
    with parts.store.reading() as work:
        return reads.invoices(work, company_id=who.company_id if who.kind == "builder" else None)
