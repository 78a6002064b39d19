"""What was held back of an invoice is released: all of it or a part, and due from then on."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.drafting import firm_of
from portal.acts.issuing import paper_number
from portal.acts.money_told import tell_released
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.posting import post
from portal.acts.settling import hold_lots, settle
from portal.acts.trail import note, once
from portal.core.documents import InvoiceDocument, RetainageDocument, fingerprint, from_stored, to_stored
from portal.core.errors import BadInput, Problem
from portal.core.money import ledger
from portal.core.money.dues import dues
from portal.core.money.invoice import read_amount
from portal.core.money.terms import BillingTerms, due_on
from portal.core.words import dollars, say
from portal.store import billing, books, owed
from portal.store.dues import releases
from portal.store.transaction import Work

SERIES = "RR"


def release_retainage(parts: Parts, who: Actor, invoice_id: str, amount: str, once_key: str) -> str:
    """Release so much of what is held back; answers the id of its paper. It is due by the invoice's terms."""
    must_be(who, "office")
    released = read_amount(amount)

    def do(work: Work) -> dict[str, Any]:
        found = hold_lots(work, owed.invoice(work, invoice_id).id)
        invoice = owed.locked_invoice(work, invoice_id)
        held = held_back(work, invoice.id)
        if not 0 < released <= held:
            says = say(
                "{held} is held back; enter more than nothing and no more than that.", held=dollars(held)
            )
            raise BadInput([Problem("amount", says)])
        row = _release(parts, work, who, invoice, released, held - released)
        for lot in found:
            note(work, who, "retainage released", invoice.number, lot.id, amount=str(released),
                 paper=row.number)  # fmt: skip
        settle(parts, work, who, invoice)
        return {"paper": row.adjustment_id}

    return str(once(parts, who, f"release {invoice_id}", once_key, do, {"amount": amount})["paper"])


def held(parts: Parts, who: Actor, invoice_id: str) -> Decimal:
    """What is still held back of an invoice, for the office."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return held_back(work, owed.invoice(work, invoice_id).id)


def held_back(work: Work, invoice_id: str) -> Decimal:
    """What is still held back of an invoice."""
    return books.open_of(work, invoice_id) - books.receivable_of(work, invoice_id)


def _release(parts: Parts, work: Work, who: Actor, invoice: Any, amount: Decimal, left: Decimal) -> Any:
    today, firm = parts.today(), firm_of(parts, work)
    document = from_stored(InvoiceDocument, invoice.document)
    due = due_on(document.terms or BillingTerms(document.net_days), today)
    paper = RetainageDocument(
        number=paper_number(work, SERIES, today.year), invoice=document.number,
        invoice_of=document.issued_on, issued_on=today, due_on=due, place=document.place,
        builder=document.builder, office=document.office, currency=document.owed.currency, amount=amount,
        left=left, pay_to=firm["pay_to"], purchase_order=document.purchase_order, package=document.package,
    )  # fmt: skip
    adjustment = owed.add_adjustment(
        work, kind="retainage released", company_id=invoice.company_id, invoice_id=invoice.id, amount=amount,
        reference=paper.number, on=today, by=who.name,
    )  # fmt: skip
    stored = to_stored(paper)
    row = billing.add_retainage_paper(work, adjustment, paper.number, stored, fingerprint(stored), due)
    post(
        parts, work, who, "retainage released", paper.number, ledger.released(invoice.id, amount),
        company_id=invoice.company_id, source_id=adjustment.id,
    )  # fmt: skip
    tell_released(parts, work, invoice, paper)
    return row


def due_now(work: Work, invoice: Any) -> date:
    """The day by which the first of what is open of an invoice is due: of retainage released, its own day."""
    found = releases(work, [invoice.id]).get(invoice.id, ())
    return dues(invoice.due_on, books.receivable_of(work, invoice.id), found)[0].day
