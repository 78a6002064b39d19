"""The invoice that a treatment turns into, and the payments on it. Payments are recorded, not taken."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.issuing import Draft, issue
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.posting import post
from portal.acts.same_day import treated_before
from portal.acts.settling import hold_lots, settle
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.documents import (
    DifferenceLine,
    InvoiceDocument,
    QuoteDocument,
    TreatmentDocument,
    TreatmentPhoto,
    from_stored,
)
from portal.core.errors import BadInput, Problem
from portal.core.money import ledger
from portal.core.money.invoice import check_payment, read_amount
from portal.core.pricing.billed import differences_found, owed_with
from portal.core.words import say
from portal.store import books, owed, quotes, reads
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
    lines = differences_found(
        quote, {wall.key: wall.found for wall in record.walls}, treated_before(work, job.lot, quote, record)
    )
    issued = parts.today()
    owing = owed_with(quote, lines)

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


def record_payment(
    parts: Parts, who: Actor, invoice_id: str, amount: str, method: str, reference: str,
    received_on: date | None, once_key: str,
) -> None:  # fmt: skip
    """Record money that came on an invoice; the last of it brings the warranty into force, by its terms."""
    must_be(who, "office")
    sum_of_money = _check(parts, amount, method, reference, received_on)
    assert received_on is not None

    def do(work: Work) -> dict[str, Any]:
        # The lots first, as in every other act: two people holding each other up would be a deadlock.
        found = hold_lots(work, owed.invoice(work, invoice_id).id)
        invoice = owed.locked_invoice(work, invoice_id)
        check_payment(sum_of_money, books.receivable_of(work, invoice.id))
        payment = owed.add_payment(
            work, company_id=invoice.company_id, amount=sum_of_money, method=method, reference=reference,
            received_on=received_on, by=who.name,
        )  # fmt: skip
        owed.allocate(work, payment_id=payment.id, invoice_id=invoice.id, amount=sum_of_money, by=who.name)
        post(
            parts, work, who, "received", reference or method,
            ledger.received(method, sum_of_money) + ledger.applied(invoice.id, sum_of_money),
            company_id=invoice.company_id, source_id=payment.id, happened_on=received_on,
        )  # fmt: skip
        for lot in found:
            note(
                work, who, "paid", invoice.number, lot.id, amount=str(sum_of_money), method=method,
                reference=reference,
            )  # fmt: skip
        settle(parts, work, who, invoice)
        return {}

    said = {"amount": str(sum_of_money), "method": method, "reference": reference, "on": received_on}
    once(parts, who, f"pay {invoice_id}", once_key, do, said)


def settle_when_nothing_is_owed(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """An invoice of nothing is paid as it stands: no payment could ever release its warranty."""
    if invoice.total <= 0:
        settle(parts, work, who, invoice)


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
