"""Issues invoices: the number, the frozen document, the postings and the line of history, all at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from msgspec import structs

from portal.acts.chase_terms import interest_on
from portal.acts.parts import Actor, Parts
from portal.acts.posting import post
from portal.acts.trail import note
from portal.core.documents import InvoiceDocument, fingerprint, to_stored
from portal.core.money import ledger
from portal.core.money.terms_entered import USUAL_PREFIX
from portal.store import billing, owed, trail
from portal.store.transaction import Work


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
    prefix: str = USUAL_PREFIX
    #: Deposits that it uses up: the id of each, and how much of it.
    deposits: tuple[tuple[str, Decimal], ...] = ()


def paper_number(work: Work, prefix: str, year: int) -> str:
    """The next number of a paper of money. The history's head is held first: one order for every writer."""
    trail.hold_head(work)
    return owed.next_number(work, prefix, year)


def frozen(work: Work, draft: Draft, number: str) -> InvoiceDocument:
    """What an invoice would say under a number: what is issued, and what a dry run shows."""
    document = draft.make(number)
    if document.charge is not None:
        return document  # interest bears none
    return structs.replace(document, interest=interest_on(work, document.issued_on))


def seen_of(document: InvoiceDocument) -> str:
    """What a dry run showed, as one text to compare."""
    return fingerprint(to_stored(document))


def issue(parts: Parts, work: Work, who: Actor, draft: Draft) -> Any:
    """Give a draft its number and issue it. The lots are held by the caller."""
    document = frozen(work, draft, paper_number(work, draft.prefix, parts.today().year))
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
    for deposit_id, amount in draft.deposits:
        billing.use_deposit(work, deposit_id, invoice.id, amount)
    for lot_id in draft.lot_ids:
        note(work, who, "invoiced", document.number, lot_id, total=str(draft.total))
    return invoice
