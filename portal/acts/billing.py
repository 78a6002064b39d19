"""The invoice that a treatment turns into."""

from __future__ import annotations

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
from portal.acts.paying import record_payment as record_payment
from portal.acts.settling import settle
from portal.core.documents import (
    InvoiceDocument,
    QuoteDocument,
    TreatmentDocument,
    from_stored,
)
from portal.store import billing, packages, reads
from portal.store.transaction import Work


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
