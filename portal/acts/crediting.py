"""Credit notes: what is taken back of an invoice, whole or by line, with a reason. It stays itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from portal.acts.issuing import paper_number
from portal.acts.money_told import tell_credited
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.posting import post
from portal.acts.settling import hold_lots, settle
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.documents import CreditNoteDocument, InvoiceDocument, fingerprint, from_stored, to_stored
from portal.core.errors import BadInput, Problem, refuse
from portal.core.money import ledger
from portal.core.money.invoice import read_amount
from portal.core.pricing.credited import (
    At,
    Left,
    check_lines,
    credit_lines,
    left_of,
    taken_back,
    the_rest,
)
from portal.core.pricing.summed import summed
from portal.core.words import dollars, say
from portal.store import billing, books, owed
from portal.store.transaction import Work

ZERO = Decimal("0.00")
SERIES = "CN"
NO_REASON = say("Say why: the builder reads it on the credit note.")


@dataclass(frozen=True, slots=True)
class Creditable:
    """An invoice with what is left of each of its lines, and what is left of it in all."""

    id: str
    lot_id: str
    document: InvoiceDocument
    lines: tuple[Left, ...]
    left: Decimal
    open: Decimal


def creditable(parts: Parts, who: Actor, invoice_id: str) -> Creditable:
    """What could be taken back of an invoice. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        invoice = owed.invoice(work, invoice_id)
        document = from_stored(InvoiceDocument, invoice.document)
        taken = taken_so_far(work, invoice)
        left = (
            summed(taken_back(document, taken, rest)).total if (rest := the_rest(document, taken)) else ZERO
        )
        if invoice.kind == "deposit":
            left = min(left, billing.deposit_left(work, invoice))
        return Creditable(invoice.id, invoice.lot_id, document, left_of(document, taken), left,
                          books.open_of(work, invoice.id))  # fmt: skip


def taken_so_far(work: Work, invoice: Any) -> dict[At, Decimal]:
    """By line, what the credit notes of an invoice have taken back."""
    found: dict[At, Decimal] = {}
    for row in owed.credit_notes(work, invoice.id):
        for line in row.document["lines"]:
            part, _dot, number = line["at"].partition(".")
            key = (int(part), int(number))
            found[key] = found.get(key, ZERO) + Decimal(line["amount"])
    return found


def credit(
    parts: Parts, who: Actor, invoice_id: str, typed: Mapping[str, str], whole: bool, reason: str,
    once_key: str,
) -> str:  # fmt: skip
    """Take back all that is left of an invoice, or so much of its lines; answers the credit note's id.

    `typed` are amounts by the names of the lines (`Left.name`); what is left empty stays as it is.
    """
    must_be(who, "office")
    amounts, problems = ({}, []) if whole else _amounts(typed)
    check(problems, text_problems("reason", reason, 500, NO_REASON))

    def do(work: Work) -> dict[str, Any]:
        found = hold_lots(work, owed.invoice(work, invoice_id).id)
        invoice = owed.locked_invoice(work, invoice_id)
        row = _credit(parts, work, who, invoice, None if whole else amounts, reason)
        for lot in found:
            note(work, who, "credited", invoice.number, lot.id, note=row.number, total=str(row.total),
                 reason=reason)  # fmt: skip
        settle(parts, work, who, invoice)
        return {"note": row.id}

    said = {"typed": dict(typed), "whole": whole, "reason": reason}
    return str(once(parts, who, f"credit {invoice_id}", once_key, do, said)["note"])


def _amounts(typed: Mapping[str, str]) -> tuple[dict[At, Decimal], list[Problem]]:
    found: dict[At, Decimal] = {}
    problems: list[Problem] = []
    for name, text in typed.items():
        part, _dot, line = name.removeprefix("line.").partition(".")
        if not text.strip() or not (part.isdecimal() and line.isdecimal() and len(name) < 20):
            continue
        try:
            found[(int(part), int(line))] = read_amount(text, name)
        except BadInput as bad:
            problems += bad.problems
    return found, problems


def _credit(
    parts: Parts, work: Work, who: Actor, invoice: Any, amounts: dict[At, Decimal] | None, reason: str
) -> Any:
    document, taken = from_stored(InvoiceDocument, invoice.document), taken_so_far(work, invoice)
    if invoice.kind == "deposit":
        amounts = _of_deposit(work, invoice, amounts)
    more = the_rest(document, taken) if amounts is None else amounts
    if not the_rest(document, taken):
        raise refuse("This invoice was credited whole already.")
    if amounts is not None:
        check_lines(document, taken, amounts)
    offers = taken_back(document, taken, more)
    back = summed(offers)
    split = _split(work, invoice, back.total)
    made = CreditNoteDocument(
        number=paper_number(work, SERIES, parts.today().year), invoice=document.number,
        invoice_of=document.issued_on, issued_on=parts.today(), place=document.place,
        builder=document.builder, office=document.office, reason=reason,
        whole=not the_rest(document, _sum(taken, more)) and not taken, lines=credit_lines(document, more),
        taken=back, off_open=split.receivable, off_retained=split.retainage, to_credit=split.credit,
        deposits=split.given_back, let_off=split.let_off,
        purchase_order=document.purchase_order, package=document.package,
    )  # fmt: skip
    stored = to_stored(made)
    row = owed.add_credit_note(
        work, number=made.number, invoice_id=invoice.id, company_id=invoice.company_id, document=stored,
        fingerprint=fingerprint(stored), total=back.total - split.given_back, issued_on=made.issued_on,
    )  # fmt: skip
    for deposit_id, amount in split.deposits:
        billing.use_deposit(work, deposit_id, invoice.id, -amount)
    posts = (
        ledger.deposit_credited(invoice.id, receivable=split.receivable, credit=split.credit)
        if invoice.kind == "deposit" else ledger.credited(
            invoice.id, back, receivable=split.receivable, retainage=split.retainage, credit=split.credit,
            deposits=split.given_back, let_off=split.let_off,
            written_off=owed.written_off(work, invoice.id), parts=offers,
        )
    )  # fmt: skip
    post(parts, work, who, "credited", made.number, posts, company_id=invoice.company_id, source_id=row.id)
    tell_credited(parts, work, invoice, made)
    return row


def _of_deposit(work: Work, invoice: Any, amounts: dict[At, Decimal] | None) -> dict[At, Decimal]:
    """Of a deposit only what no invoice took off: that was given already."""
    left = billing.deposit_left(work, invoice)
    if left <= 0:
        raise refuse("Nothing is left of this deposit: it came off an invoice, or was credited.")
    if amounts is None:
        return {(0, 0): left}
    if amounts.get((0, 0), ZERO) > left:
        raise BadInput([Problem("line.0.0", say("{left} is left of this line.", left=dollars(left)))])
    return amounts


def _sum(taken: Mapping[At, Decimal], more: Mapping[At, Decimal]) -> dict[At, Decimal]:
    return {at: taken.get(at, ZERO) + more.get(at, ZERO) for at in {*taken, *more}}


@dataclass(frozen=True, slots=True)
class _Split:
    """Where a credit goes: off what is open, off what is held back, to the builder; deposits given back."""

    receivable: Decimal
    retainage: Decimal
    credit: Decimal
    let_off: Decimal
    deposits: tuple[tuple[str, Decimal], ...]

    @property
    def given_back(self) -> Decimal:
        return sum((amount for _id, amount in self.deposits), ZERO)


def _split(work: Work, invoice: Any, total: Decimal) -> _Split:
    """First what the invoice itself asked for; only what is over that gives deposits back."""
    asked = min(total, invoice.total - owed.credited(work, invoice.id))
    receivable = min(asked, books.receivable_of(work, invoice.id))
    still = books.open_of(work, invoice.id) - books.receivable_of(work, invoice.id)
    retainage = min(asked - receivable, still)
    over, back = total - asked, []
    for deposit_id, used in billing.deposits_used(work, invoice.id):
        amount = min(used, over)
        if amount > 0:
            back.append((deposit_id, amount))
            over -= amount
    rest = asked - receivable - retainage
    before = sum((Decimal(row.document["to_credit"]) for row in owed.credit_notes(work, invoice.id)), ZERO)
    credit = min(rest, max(owed.paid(work, invoice.id) - before, ZERO))
    return _Split(receivable, retainage, credit, rest - credit, tuple(back))
