"""Interest on what is paid late: what came together by the terms on an invoice, and billing it by hand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.issuing import Draft, issue
from portal.acts.money_told import tell_invoice
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.settling import hold_lots
from portal.acts.trail import once
from portal.core.documents import InterestCharge, InvoiceDocument, Line, Offer, from_stored
from portal.core.errors import BadInput, Problem, refuse
from portal.core.money import ledger
from portal.core.money.interest import Accrued, InterestTerms, accrued
from portal.core.money.terms_entered import prefix_of
from portal.core.words import say
from portal.store import chasing as rows
from portal.store import owed, quotes
from portal.store.dues import releases
from portal.store.transaction import Work

KIND = "interest"


@dataclass(frozen=True, slots=True)
class InterestDue:
    """The terms on an invoice, and what came together since what was billed last, to a day and with it."""

    terms: InterestTerms
    accrued: Accrued


def interest_due(work: Work, invoice: Any, until: date) -> InterestDue | None:
    """What has come together on an invoice to a day; None where its terms say nothing of interest."""
    document = from_stored(InvoiceDocument, invoice.document)
    terms = document.interest
    if terms is None:
        return None
    billed = [row.last_day for row, _bill in rows.billed_interest_of(work, invoice.id)]
    first = max([terms.first_day(invoice.due_on), *(day + timedelta(days=1) for day in billed)])
    changes = [*rows.asked_by_day(work, invoice.id), *_later(work, terms, invoice)]
    return InterestDue(terms, accrued(terms, changes, first, until))


def _later(work: Work, terms: InterestTerms, invoice: Any) -> list[tuple[date, Decimal]]:
    """What was released of retainage bears interest past its own due day, and not from its release on."""
    released = releases(work, [invoice.id]).get(invoice.id, ()) if invoice.retained else ()
    late = [(terms.first_day(one.due_on) - timedelta(days=1), one.amount) for one in released]
    return [(one.released_on, -one.amount) for one in released] + late


def _was_due(work: Work, invoice: Any, due: InterestDue) -> date:
    """The due day that an interest charge names: that of a release where it is all that was late."""
    begins = due.accrued.stretches[0].first if due.accrued.stretches else None
    released = releases(work, [invoice.id]).get(invoice.id, ()) if invoice.retained else ()
    own = [one.due_on for one in released if due.terms.first_day(one.due_on) == begins]
    day: date = own[0] if own else invoice.due_on
    return day


def bill_interest(
    parts: Parts, who: Actor, invoice_id: str, until: date | None, amount: Decimal, once_key: str
) -> str:
    """Bill what has come together to a day, as the office was shown it; answers the new invoice's id.

    An invoice of its own, by hand, and never twice for the same days. It bears no interest itself.
    """
    must_be(who, "office")
    if until is None:
        raise BadInput([Problem("until", say("Enter the day up to which it is billed."))])
    if until > parts.today():
        raise BadInput([Problem("until", say("{day} has not come yet.", day=until))])

    def do(work: Work) -> dict[str, Any]:
        lots = hold_lots(work, owed.invoice(work, invoice_id).id)
        invoice = owed.locked_invoice(work, invoice_id)
        due = interest_due(work, invoice, until)
        if due is None:
            raise refuse("The terms on this invoice say nothing of interest, so none is billed.")
        if any(row.settled_at is None for row in rows.disputes_of(work, invoice.id)):
            raise refuse("This invoice is said not to be right. Settle that first.")
        _check(due, until, amount)
        bill = issue(parts, work, who, _draft(parts, work, invoice, due, tuple(lot.id for lot in lots)))
        rows.add_billed_interest(
            work, bill.id, invoice.id, first=due.accrued.first, last=until, amount=due.accrued.amount
        )
        tell_invoice(parts, work, bill)
        return {"id": bill.id}

    said = {"until": until, "amount": str(amount)}
    return str(once(parts, who, f"interest {invoice_id}", once_key, do, said)["id"])


def _check(due: InterestDue, until: date, amount: Decimal) -> None:
    if until < due.accrued.first:
        says = say("The first day that bears interest, and is not billed yet, is {day}.",
                   day=due.accrued.first)  # fmt: skip
        raise BadInput([Problem("until", says)])
    if due.accrued.amount <= 0:
        raise BadInput([Problem("until", say("Up to {day} no interest has come together.", day=until))])
    if due.accrued.amount != amount:
        raise refuse("Since this page was opened it has changed what has come together. Look at it again.")


def _draft(parts: Parts, work: Work, invoice: Any, due: InterestDue, lots: tuple[str, ...]) -> Draft:
    before = from_stored(InvoiceDocument, invoice.document)
    found, issued = due.accrued, parts.today()
    firm = quotes.edition_on(work, "firm", issued).document
    net_days = int(firm["net_days"])
    line = Line(KIND, f"Interest on {invoice.number}", found.amount)
    offer = Offer(
        currency=before.owed.currency, lines=(line,), subtotal=found.amount, discount_percent=Decimal(0),
        discount=ledger.ZERO, tax_percent=Decimal(0), tax=ledger.ZERO, total=found.amount,
    )  # fmt: skip
    charge = InterestCharge(
        invoice.number, _was_due(work, invoice, due), found.first, found.last, due.terms, found.stretches
    )

    def make(number: str) -> InvoiceDocument:
        # Made anew, not copied: whatever else the invoice says of its own days and amounts is not this one's.
        return InvoiceDocument(
            number=number, place=before.place, builder=before.builder, office=before.office,
            quote=before.quote, purchase_order=before.purchase_order, accepted_by=before.accepted_by,
            treatment=before.treatment, treated_on=before.treated_on, issued_on=issued,
            due_on=issued + timedelta(days=net_days), net_days=net_days, quoted=offer, differences=(),
            owed=offer, pay_to=before.pay_to, zone=before.zone, kind=KIND, charge=charge,
        )  # fmt: skip

    return Draft(
        kind=KIND, company_id=invoice.company_id, lot_ids=lots, total=found.amount, make=make,
        posts=lambda invoice_id: ledger.invoiced(invoice_id, offer), speaks=False, prefix=prefix_of(firm),
    )  # fmt: skip
