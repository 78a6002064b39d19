"""An invoice that was credited whole is billed anew: its lots, with lines the office corrected, and why."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from msgspec import structs

from portal.acts.drafting import Beside, Billed, draft_invoice
from portal.acts.issuing import Draft, frozen, issue, seen_of
from portal.acts.money_told import tell_invoice
from portal.acts.offering import quote_document
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.settling import hold_lots, settle
from portal.acts.taxing import taxed_on
from portal.acts.texts import check, text_problems
from portal.acts.trail import once
from portal.core.documents import DifferenceLine, InvoiceDocument, LotOnInvoice, from_stored
from portal.core.errors import BadInput, Problem, Refused, refuse
from portal.core.money.invoice import read_amount
from portal.core.pricing.billed import as_line
from portal.core.pricing.offer import Taxed
from portal.core.pricing.offer import owed as owed_offer
from portal.core.words import say
from portal.store import jobs, owed
from portal.store.transaction import Work

#: The key of a difference that the office made, and no siding.
BY_OFFICE = "office"
MOST_LINES = 20
NO_LABEL = say("Say what the line is for.")
NO_REASON = say("Say why: it stands on the invoice.")


@dataclass(frozen=True, slots=True)
class Change:
    """A line that the office adds: over zero or under it, for the lot of this number on the invoice."""

    lot: int
    label: str
    reason: str
    amount: str

    @property
    def empty(self) -> bool:
        """Whether nothing of it was filled in."""
        return not (self.label or self.reason or self.amount)


@dataclass(frozen=True, slots=True)
class Rebilled:
    """What a rebill would say: the same document that is issued, but for its number."""

    id: str
    lot_id: str
    before: InvoiceDocument
    document: InvoiceDocument


def look(
    parts: Parts, who: Actor, invoice_id: str, purchase_order: str, changes: tuple[Change, ...]
) -> Rebilled:
    """A dry run of a rebill. Raises `BadInput` where it cannot be."""
    must_be(who, "office")
    lines = _lines(purchase_order, changes)
    with parts.store.reading() as work:
        invoice = owed.invoice(work, invoice_id)
        draft = draft_rebill(parts, work, invoice, purchase_order, lines)
        before = from_stored(InvoiceDocument, invoice.document)
        return Rebilled(invoice.id, invoice.lot_id, before, frozen(work, draft, ""))


def rebill(
    parts: Parts, who: Actor, invoice_id: str, purchase_order: str, changes: tuple[Change, ...],
    seen: str, once_key: str,
) -> str:  # fmt: skip
    """Bill a credited invoice's lots anew, as it was `seen` in the dry run; answers the new invoice's id.

    It speaks for them from now on.
    """
    must_be(who, "office")
    lines = _lines(purchase_order, changes)

    def do(work: Work) -> dict[str, Any]:
        hold_lots(work, owed.invoice(work, invoice_id).id)
        old = owed.locked_invoice(work, invoice_id)
        draft = draft_rebill(parts, work, old, purchase_order, lines)
        if seen != seen_of(frozen(work, draft, "")):
            raise refuse("This changed since it was shown: look at it as it is now, and bill that.")
        invoice = issue(parts, work, who, draft)
        tell_invoice(parts, work, invoice)
        settle(parts, work, who, invoice)
        return {"invoice": invoice.id}

    lines_said = [(c.lot, c.label, c.reason, c.amount) for c in changes]
    said = {"order": purchase_order, "seen": seen, "lines": lines_said}
    return str(once(parts, who, f"rebill {invoice_id}", once_key, do, said)["invoice"])


Lines = dict[int, tuple[DifferenceLine, ...]]


def _lines(purchase_order: str, changes: tuple[Change, ...]) -> Lines:
    """What the office adds, by the number of the lot. Raises `BadInput` at each field."""
    problems = text_problems("purchase_order", purchase_order, 80)
    found: Lines = {}
    for n, change in enumerate(changes[:MOST_LINES]):
        if change.empty:
            continue
        problems += text_problems(f"label.{n}", change.label, 200, NO_LABEL)
        problems += text_problems(f"reason.{n}", change.reason, 500, NO_REASON)
        try:
            amount = _signed(change.amount, f"amount.{n}")
        except BadInput as bad:
            problems += bad.problems
            continue
        line = DifferenceLine(BY_OFFICE, change.label, change.reason, Decimal(0), Decimal(0), amount, "extra")
        found[change.lot] = (*found.get(change.lot, ()), line)
    check(problems)
    return found


def _signed(typed: str, at: str) -> Decimal:
    bare = typed.strip()
    less = bare[:1] in ("-", "−")
    amount = read_amount(bare[1:] if less else bare, at)
    if not amount:
        raise BadInput([Problem(at, say("A line of nothing changes nothing. Enter an amount."))])
    return -amount if less else amount


def why_not(work: Work, invoice: Any) -> Refused | None:
    """Why an invoice cannot be billed anew; None where it can."""
    if invoice.kind not in ("treatment", "package"):
        return refuse("Only an invoice of a treatment is billed anew.")
    if invoice.state != "credited":
        return refuse("Credit it whole first: then it can be billed anew.")
    if not any(row.speaks for row in owed.lots_of(work, invoice.id)):
        return refuse("It was billed anew already.")
    return None


def draft_rebill(parts: Parts, work: Work, invoice: Any, purchase_order: str, lines: Lines) -> Draft:
    """The invoice in place of a credited one: the same lots and siding, other lines of the office's own."""
    if (why := why_not(work, invoice)) is not None:
        raise why
    document = from_stored(InvoiceDocument, invoice.document)
    by_quote = {}
    for row in owed.lots_of(work, invoice.id):
        job = jobs.job_of(work, row.lot_id)
        assert job is not None  # it was treated, or there would be no invoice of it
        quote = quote_document(job.revision)
        by_quote[quote.name] = (job.lot, quote)
    billed = []
    for n, part in enumerate(document.parts):
        lot, quote = by_quote[part.quote]
        taxed = taxed_on(work, part.quoted, invoice.company_id, parts.today())
        anew = _anew(part, purchase_order, lines.get(n, ()), taxed)
        billed.append(Billed(lot, quote, anew, document.zone))
    draft = draft_invoice(parts, work, billed, Beside(
        invoice.package_id, document.package, rebills_id=invoice.id, in_place_of=document.number,
    ))  # fmt: skip
    if draft.total < 0:
        raise BadInput([Problem("amount.0", say("With these lines nothing is left to ask for."))])
    return draft


def _anew(
    part: LotOnInvoice, purchase_order: str, more: tuple[DifferenceLine, ...], taxed: Taxed
) -> LotOnInvoice:
    kept = tuple(line for line in part.differences if line.key != BY_OFFICE)
    differences = (*kept, *more)
    offer = owed_offer(part.quoted, [as_line(line) for line in differences], taxed)
    return structs.replace(part, purchase_order=purchase_order, differences=differences, owed=offer)
