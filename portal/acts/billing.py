"""The invoice that a treatment turns into, and the payments on it. Payments are recorded, not taken."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.covering import release_when_paid
from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.taxing import taxed_on
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.documents import (
    DifferenceLine,
    InvoiceDocument,
    QuoteDocument,
    TreatmentDocument,
    TreatmentPhoto,
    fingerprint,
    from_stored,
    to_stored,
)
from portal.core.errors import BadInput, Problem
from portal.core.journey import INVOICE, move
from portal.core.money.invoice import check_payment, read_amount, state_after
from portal.core.pricing.billed import differences_found, owed_with
from portal.core.words import say
from portal.store import lots, owed, quotes, reads
from portal.store.transaction import Work

METHODS = ("check", "bank transfer", "cash", "other")


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
    document = InvoiceDocument(
        number=owed.next_number(work, "INV", issued.year), place=quote.place, builder=quote.builder,
        office=quote.office, quote=quote.name, purchase_order=job.revision.purchase_order,
        accepted_by=job.revision.decided_by, treatment=record.number, treated_on=record.treated_on,
        issued_on=issued, due_on=issued + timedelta(days=net_days), net_days=net_days, quoted=quote.offer,
        differences=lines,
        owed=owed_with(quote, lines, taxed_on(work, quote.offer, job.lot.company_id, issued)),
        pay_to=firm["pay_to"], photos=_photos_of(lines, record),
        zone=record.zone,
    )  # fmt: skip
    stored = to_stored(document)
    invoice = owed.add_invoice(
        work, number=document.number, lot_id=job.lot_id, company_id=job.lot.company_id, document=stored,
        fingerprint=fingerprint(stored), total=document.owed.total, issued_on=issued, due_on=document.due_on,
    )  # fmt: skip
    note(work, who, "invoiced", document.number, job.lot_id, total=str(document.owed.total))
    return invoice


def _photos_of(lines: Iterable[DifferenceLine], record: TreatmentDocument) -> tuple[TreatmentPhoto, ...]:
    walls = {line.key for line in lines}
    return tuple(photo for photo in record.photos if photo.wall in walls)


def record_payment(
    parts: Parts, who: Actor, invoice_id: str, amount: str, method: str, reference: str,
    received_on: date | None, once_key: str,
) -> None:  # fmt: skip
    """Record money that came on an invoice; the last of it brings the warranty into force, by its terms."""
    must_be(who, "office")
    sum_of_money = _check(parts, amount, method, reference, received_on)
    assert received_on is not None

    def do(work: Work) -> dict[str, Any]:
        # The lot first, as in every other act: two people holding each other up would be a deadlock.
        lot = lots.locked(work, owed.invoice(work, invoice_id).lot_id)
        invoice = owed.locked_invoice(work, invoice_id)
        check_payment(sum_of_money, invoice.total - owed.paid(work, invoice.id))
        owed.add_payment(
            work, invoice_id=invoice.id, amount=sum_of_money, method=method, reference=reference,
            received_on=received_on, by=who.name,
        )  # fmt: skip
        note(
            work, who, "paid", invoice.number, lot.id, amount=str(sum_of_money), method=method,
            reference=reference,
        )  # fmt: skip
        _settle_state(parts, work, who, lot, invoice, owed.paid(work, invoice.id))
        restage(work, lot)
        return {}

    said = {"amount": str(sum_of_money), "method": method, "reference": reference, "on": received_on}
    once(parts, who, f"pay {invoice_id}", once_key, do, said)


def _settle_state(parts: Parts, work: Work, who: Actor, lot: Any, invoice: Any, paid: Decimal) -> None:
    invoice.state = move(INVOICE, invoice.state, state_after(invoice.total, paid))
    if invoice.state == "paid":
        release_when_paid(parts, work, who, lot)


def settle_when_nothing_is_owed(parts: Parts, work: Work, who: Actor, lot: Any, invoice: Any) -> None:
    """An invoice of nothing is paid as it stands: no payment could ever release its warranty."""
    if invoice.total <= 0:
        _settle_state(parts, work, who, lot, invoice, invoice.total)


def _check(parts: Parts, amount: str, method: str, reference: str, received_on: date | None) -> Decimal:
    problems = []
    if method not in METHODS:
        problems.append(Problem("method", say("Choose how it was paid.")))
    if received_on is None:
        problems.append(Problem("received_on", say("Enter the day it came.")))
    elif received_on > parts.today():
        not_yet = say("{day} has not come yet.", day=received_on)
        problems.append(Problem("received_on", not_yet))
    value = Decimal(0)
    try:
        value = read_amount(amount)
    except BadInput as bad:
        problems += bad.problems
    check(problems, text_problems("reference", reference, 80))
    return value


def invoice_document(invoice: Any) -> InvoiceDocument:
    """The frozen document of an invoice."""
    return from_stored(InvoiceDocument, invoice.document)


def money_in(parts: Parts, who: Actor) -> list[reads.InvoiceRow]:
    """Every invoice with what is open of it: the office's all, a builder's own."""
    must_be(who, "office", "builder")
    must_have(who, "money")
    with parts.store.reading() as work:
        return reads.invoices(work, company_id=who.company_id if who.kind == "builder" else None)
