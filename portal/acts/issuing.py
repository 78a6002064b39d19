"""Issues invoices: the number, the frozen document, the postings and the line of history, all at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from portal.acts.parts import Actor, Parts
from portal.acts.posting import post
from portal.acts.trail import note
from portal.core.documents import InvoiceDocument, fingerprint, to_stored
from portal.core.money import ledger
from portal.store import owed, trail
from portal.store.transaction import Work

PREFIX = "INV"


@dataclass(frozen=True, slots=True)
class Draft:
    """An invoice before it has its number. `make` freezes it under one; `posts` is what it posts, by its id.

    `speaks`: whether it is the invoice of its lots' treatment, and so speaks for them.
    """

    kind: str
    company_id: str
    lot_ids: tuple[str, ...]
    total: Decimal
    make: Callable[[str], InvoiceDocument]
    posts: Callable[[str], ledger.Posts]
    speaks: bool = True
    retained: Decimal = Decimal("0.00")
    package_id: str | None = None
    rebills_id: str | None = None


def paper_number(work: Work, prefix: str, year: int) -> str:
    """The next number of a paper of money. The history's head is held first: one order for every writer."""
    trail.hold_head(work)
    return owed.next_number(work, prefix, year)


def issue(parts: Parts, work: Work, who: Actor, draft: Draft) -> Any:
    """Give a draft its number and issue it. The lots are held by the caller."""
    document = draft.make(paper_number(work, PREFIX, parts.today().year))
    stored = to_stored(document)
    invoice = owed.add_invoice(
        work, number=document.number, kind=draft.kind, lot_ids=draft.lot_ids, speaks=draft.speaks,
        company_id=draft.company_id, document=stored, fingerprint=fingerprint(stored), total=draft.total,
        issued_on=document.issued_on, due_on=document.due_on, retained=draft.retained,
        package_id=draft.package_id, rebills_id=draft.rebills_id,
    )  # fmt: skip
    post(
        parts, work, who, "invoiced", document.number, draft.posts(invoice.id),
        company_id=draft.company_id, source_id=invoice.id, happened_on=document.issued_on,
    )  # fmt: skip
    for lot_id in draft.lot_ids:
        note(work, who, "invoiced", document.number, lot_id, total=str(draft.total))
    return invoice
