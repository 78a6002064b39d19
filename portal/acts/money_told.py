"""Letters about papers of money: an invoice that is of no single treatment, a credit note, a release."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.parts import Parts
from portal.acts.trail import mail_builder
from portal.core.documents import CreditNoteDocument, InvoiceDocument, RetainageDocument, from_stored
from portal.store.transaction import Work


def tell_invoice(parts: Parts, work: Work, invoice: Any) -> None:
    """Tell who sees money of an invoice: of a package, a deposit, interest, or in place of another."""
    document = from_stored(InvoiceDocument, invoice.document)
    what = "rebilled" if document.in_place_of else document.kind
    of = document.package or f"{document.place.lot}, {document.place.address}"
    other = document.charge.invoice if document.charge else document.in_place_of
    _tell(parts, work, invoice, what, document.number, document.due, document, of=of,
          due_on=document.due_on, other=other)  # fmt: skip


def tell_credited(parts: Parts, work: Work, invoice: Any, document: CreditNoteDocument) -> None:
    """Tell of a credit note, with its reason."""
    of = document.package or f"{document.place.lot}, {document.place.address}"
    amount = document.taken.total - document.deposits
    _tell(parts, work, invoice, "credited", document.number, amount, document, of=of,
          other=document.invoice, reason=document.reason)  # fmt: skip


def tell_released(parts: Parts, work: Work, invoice: Any, document: RetainageDocument) -> None:
    """Tell that what was held back is due."""
    of = document.package or f"{document.place.lot}, {document.place.address}"
    _tell(parts, work, invoice, "released", document.number, document.amount, document, of=of,
          due_on=document.due_on, other=document.invoice)  # fmt: skip


def _tell(
    parts: Parts, work: Work, invoice: Any, what: str, number: str, amount: Decimal, document: Any, *,
    of: str, due_on: date | None = None, other: str = "", reason: str = "",
) -> None:  # fmt: skip
    mail_builder(
        parts, work, "money_paper", invoice.company_id, invoice.lot_id, what=what, number=number,
        amount=amount, of=of, due_on=due_on, other=other, reason=reason, office=document.office,
        link=parts.links.builder_lot(invoice.lot_id),
    )  # fmt: skip
