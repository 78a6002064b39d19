"""Finds and adds billing terms of builders, uses of deposits, and papers of retainage."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import aliased

from portal.core.errors import NotFound
from portal.store.tables import (
    Adjustment,
    BillingTermsRow,
    Company,
    CreditNote,
    DepositUse,
    Invoice,
    InvoiceLot,
    Job,
    Lot,
    Package,
    RetainagePaper,
    Revision,
    TreatmentRecord,
)
from portal.store.transaction import Work

ZERO = Decimal("0.00")


def newest_terms(work: Work, company_id: str) -> BillingTermsRow | None:
    """What was entered last for a builder."""
    query = select(BillingTermsRow).where(BillingTermsRow.company_id == company_id)
    return work.session.scalar(query.order_by(BillingTermsRow.number.desc()).limit(1))


def add_terms(work: Work, company_id: str, document: dict[str, Any], by: str) -> BillingTermsRow:
    """The next terms of a builder. Two at once: the second finds the number taken."""
    before = newest_terms(work, company_id)
    row = BillingTermsRow(
        id=work.new_id(), company_id=company_id, number=before.number + 1 if before else 1,
        document=document, made_by=by, made_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def deposits_of(work: Work, lot_ids: tuple[str, ...]) -> list[tuple[Invoice, Decimal]]:
    """The deposit invoices of these lots, and how much of each is left to be taken off an invoice."""
    query = (
        select(Invoice).join(InvoiceLot, InvoiceLot.invoice_id == Invoice.id)
        .where(InvoiceLot.lot_id.in_(lot_ids), Invoice.kind == "deposit").order_by(Invoice.number)
    )  # fmt: skip
    return [(row, deposit_left(work, row)) for row in work.session.scalars(query)]


def deposit_left(work: Work, deposit: Invoice) -> Decimal:
    """What is left of a deposit: without what invoices took off, and what was credited."""
    used = _sum(work, DepositUse.amount, DepositUse.deposit_id == deposit.id)
    return deposit.total - used - _sum(work, CreditNote.total, CreditNote.invoice_id == deposit.id)


def deposits_used(work: Work, invoice_id: str) -> list[tuple[str, Decimal]]:
    """By deposit, what an invoice took off and did not give back."""
    used = func.sum(DepositUse.amount)
    query = select(DepositUse.deposit_id, used).where(DepositUse.invoice_id == invoice_id)
    query = query.group_by(DepositUse.deposit_id).having(used != ZERO).order_by(DepositUse.deposit_id)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def use_deposit(work: Work, deposit_id: str, invoice_id: str, amount: Decimal) -> None:
    """So much of a deposit came off an invoice; less than zero gives it back."""
    work.put(DepositUse(deposit_id=deposit_id, invoice_id=invoice_id, amount=amount))


def add_retainage_paper(
    work: Work, adjustment: Adjustment, number: str, document: dict[str, Any], fingerprint: str, due_on: date
) -> RetainagePaper:
    """The paper of a release."""
    row = RetainagePaper(
        adjustment_id=adjustment.id, invoice_id=adjustment.invoice_id, company_id=adjustment.company_id,
        number=number, document=document, fingerprint=fingerprint, due_on=due_on,
    )  # fmt: skip
    work.add(row)
    return row


def retainage_papers(work: Work, invoice_id: str) -> list[RetainagePaper]:
    """The releases of an invoice's retainage, in the order of their numbers."""
    query = select(RetainagePaper).where(RetainagePaper.invoice_id == invoice_id)
    return list(work.session.scalars(query.order_by(RetainagePaper.number)))


def retainage_paper(work: Work, adjustment_id: str) -> RetainagePaper:
    """One of them. Raises `NotFound`."""
    found = work.session.get(RetainagePaper, adjustment_id)
    if found is None:
        raise NotFound("paper", "retainage")
    return found


def credit_note(work: Work, note_id: str) -> CreditNote:
    """A credit note. Raises `NotFound`."""
    found = work.session.get(CreditNote, note_id)
    if found is None:
        raise NotFound("paper", "credit-note")
    return found


_BILLED = select(InvoiceLot.lot_id).where(InvoiceLot.lot_id == Lot.id, InvoiceLot.speaks).exists()


def unbilled_in(work: Work, package_id: str) -> list[tuple[Job, dict[str, Any]]]:
    """The jobs of a package's lots that are treated and for which no invoice speaks, with their records."""
    query = (
        select(Job, TreatmentRecord.document).join(Lot, Lot.id == Job.lot_id)
        .join(TreatmentRecord, TreatmentRecord.job_id == Job.id)
        .where(Lot.package_id == package_id, ~_BILLED).order_by(Lot.id)
    )  # fmt: skip
    return [(job, document) for job, document in work.session.execute(query)]


def untreated_in(work: Work, package_id: str) -> list[Job]:
    """The jobs of a package's lots that are still to be done."""
    query = select(Job).join(Lot, Lot.id == Job.lot_id).where(
        Lot.package_id == package_id, Job.state.in_(("unscheduled", "booked", "on site"))
    )  # fmt: skip
    return list(work.session.scalars(query.order_by(Lot.id)))


def unbilled_packages(work: Work) -> list[Package]:
    """The packages in which lots are treated and not billed, the oldest first."""
    query = (
        select(Package).join(Lot, Lot.package_id == Package.id).join(Job, Job.lot_id == Lot.id)
        .join(TreatmentRecord, TreatmentRecord.job_id == Job.id).where(~_BILLED)
        .group_by(Package.id).order_by(Package.created_at, Package.number)
    )  # fmt: skip
    return list(work.session.scalars(query))


@dataclass(frozen=True, slots=True)
class WaitingPackage:
    """A package of which lots are treated and not billed, while no other of its lots has a day."""

    id: str
    number: str
    name: str
    company: str
    treated: int


def waiting_packages(work: Work) -> list[WaitingPackage]:
    """Those packages, the oldest first: with no lot booked, no mark is coming that would bill them."""
    others, at_work = aliased(Lot), aliased(Job)
    coming = (
        select(at_work.id).join(others, others.id == at_work.lot_id)
        .where(others.package_id == Package.id, at_work.state.in_(("booked", "on site"))).exists()
    )  # fmt: skip
    query: Any = (
        select(Package.id, Package.number, Package.name, Company.name, func.count())
        .join(Lot, Lot.package_id == Package.id).join(Job, Job.lot_id == Lot.id)
        .join(TreatmentRecord, TreatmentRecord.job_id == Job.id)
        .join(Company, Company.id == Package.company_id).where(~_BILLED, ~coming)
        .group_by(Package.id, Company.name).order_by(Package.created_at, Package.number)
    )  # fmt: skip
    return [WaitingPackage(*row) for row in work.session.execute(query)]


def package_of_job(work: Work, job_id: str) -> tuple[str, dict[str, Any]] | None:
    """The package of a job's lot and the lot's quote, as columns: nothing is read that is held later."""
    query: Any = (
        select(Lot.package_id, Revision.document).join(Job, Job.lot_id == Lot.id)
        .join(Revision, Revision.id == Job.revision_id).where(Job.id == job_id, Lot.package_id.is_not(None))
    )  # fmt: skip
    found = work.session.execute(query).one_or_none()
    return (found[0], found[1]) if found else None


def credited_unbilled(work: Work) -> list[Invoice]:
    """The invoices that were credited whole and still speak for their lots: to be billed anew, or not."""
    speaks = select(InvoiceLot.lot_id).where(InvoiceLot.invoice_id == Invoice.id, InvoiceLot.speaks).exists()
    query = select(Invoice).where(Invoice.state == "credited", speaks).order_by(Invoice.number)
    return list(work.session.scalars(query))


def booked(work: Work, limit: int) -> list[Job]:
    """The jobs that are booked or on site, the next day first."""
    query = select(Job).where(Job.state.in_(("booked", "on site"))).order_by(Job.day, Job.number)
    return list(work.session.scalars(query.limit(limit)))


def _sum(work: Work, column: Any, *which: Any) -> Decimal:
    total = work.session.scalar(select(func.sum(column)).where(*which))
    return total if total is not None else ZERO
