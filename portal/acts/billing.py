"""The invoice that a treatment turns into, and the payments on it. Payments are recorded, not taken."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.drafting import (
    as_treated,
    billed_by_package,
    draft_deposit,
    draft_invoice,
    draft_package,
    untreated_in,
)
from portal.acts.issuing import issue
from portal.acts.money_told import tell_invoice
from portal.acts.offering import quote_document
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.posting import post
from portal.acts.settling import hold_lots, settle
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.documents import (
    InvoiceDocument,
    QuoteDocument,
    TreatmentDocument,
    from_stored,
)
from portal.core.errors import BadInput, Problem
from portal.core.money import ledger
from portal.core.money.invoice import check_payment, read_amount
from portal.core.words import say
from portal.store import billing, books, owed, packages, reads
from portal.store.transaction import Work

METHODS = ("check", "bank transfer", "cash", "other")


def bill(
    parts: Parts, work: Work, who: Actor, job: Any, quote: QuoteDocument, record: TreatmentDocument
) -> Any:
    """Issue the invoice as a job is marked treated: of its lot, or of a package once all of it is.

    Answers None where a package's invoice is still to come. The package's lots are held by the caller.
    """
    package_id = job.lot.package_id
    work.session.flush()  # that this job is treated is asked for below
    if not billed_by_package(job.lot, quote):
        billed = as_treated(parts, work, job, quote, record)
        return issue(parts, work, who, draft_invoice(parts, work, (billed,)))
    if untreated_in(work, package_id):
        return None
    return issue(parts, work, who, draft_package(parts, work, package_id))


def ask_deposit(parts: Parts, work: Work, who: Actor, lot: Any, revision: Any) -> None:
    """Issue the invoice of a quote's deposit as the quote is accepted, where one was agreed."""
    draft = draft_deposit(parts, work, lot, revision, quote_document(revision))
    if draft is not None:
        tell_invoice(parts, work, issue(parts, work, who, draft))


def hold_package_of(work: Work, job_id: str) -> None:
    """Hold all lots of a job's package where they are billed together, before the job's own is held.

    The last one that is treated brings the invoice of all; two who each held one would wait for each other.
    """
    found = billing.package_of_job(work, job_id)
    if found is not None and ((found[1] or {}).get("billing") or {}).get("per") == "package":
        packages.locked_lots(work, [lot.id for lot in packages.lots_in(work, found[0])])


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
