"""An owner of a treated house is billed: for the next term of a warranty, or for handing it on."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.drafting import firm_of
from portal.acts.issuing import Draft, issue
from portal.acts.owner_accounts import account_of
from portal.acts.parts import Actor, Parts
from portal.acts.taxing import tax_book, where_is
from portal.acts.trail import mail
from portal.core.documents import Builder, InvoiceDocument, Line, Taxing
from portal.core.money import ledger
from portal.core.money.terms import due_on
from portal.core.money.terms_entered import prefix_of, read_terms
from portal.core.pricing.offer import LABELS, offer
from portal.store import lots, quotes
from portal.store.transaction import Work


def bill_owner(
    parts: Parts, work: Work, who: Actor, warranty: Any, holder: Any, kind: str, amount: Decimal
) -> Any:
    """Issue an invoice of one line to a holder's own account, and write to them; the lot is held.

    Taxed like a lot of its place: by the table that holds there today, else by the rate book's percent.
    """
    lot, said = lots.lot(work, warranty.lot_id), warranty_document(warranty)
    account = account_of(work, who, warranty, holder)
    firm, issued = firm_of(parts, work), parts.today()
    terms = read_terms(firm)
    book = tax_book(work, issued, account.id)
    table = book.table(where_is(lot))
    percent = Decimal(str(quotes.edition_on(work, "rates", issued).document.get("tax_percent", "0")))
    line = Line(kind, str(LABELS[kind]), amount, reason=warranty.number)
    owed = offer(
        [line], said.terms.currency, Decimal(0), percent,
        Taxing(table, book.exempt(table.jurisdiction)) if table else None,
    )  # fmt: skip
    place = said.place
    builder = Builder(
        account.name, tuple(account.address.splitlines()), account.phone, account.email, holder.name
    )

    def make(number: str) -> InvoiceDocument:
        return InvoiceDocument(
            number=number, place=place, builder=builder, office=said.office, quote="", purchase_order="",
            accepted_by=holder.name, treatment=said.treatment, treated_on=said.treated_on, issued_on=issued,
            due_on=due_on(terms, issued), net_days=terms.days, quoted=owed, differences=(), owed=owed,
            pay_to=firm["pay_to"], zone=str(parts.zone), kind=kind,
        )  # fmt: skip

    invoice = issue(parts, work, who, Draft(
        kind=kind, company_id=account.id, lot_ids=(lot.id,), total=owed.total, make=make, speaks=False,
        posts=lambda invoice_id: ledger.invoiced(invoice_id, owed), prefix=prefix_of(firm),
    ))  # fmt: skip
    token = parts.tokens.make("bill", {"invoice": invoice.id})
    mail(parts, work, "owner_billed", holder.email, lot.id, name=holder.name, number=invoice.number,
         kind=kind, amount=owed.total, due_on=invoice.due_on, warranty=warranty.number, place=place,
         office=said.office, link=parts.links.owner_bill(token))  # fmt: skip
    return invoice
