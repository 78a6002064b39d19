"""A payment that did not hold: what it paid is owed again. And what nobody will pay anymore.

The rule, once: every invoice that the payment pays asks for its part again, whether it was paid when the
money came or out of credit later, and so does what was let off for paying soon with it. A credit note of such
an invoice pays it again as far as its credit was not used. What of the payment was refunded is owed back: it
makes the builder's credit smaller, under zero where there is no other, and what comes next makes up for it
first. What other credit paid stays paid.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.lot_state import lot_name
from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.posting import post
from portal.acts.settling import hold_lots, settle
from portal.acts.texts import check, text_problems
from portal.acts.trail import mail_builder, mail_office, note, once
from portal.acts.using_credit import apply, day_problems
from portal.core.errors import BadInput, Problem, refuse
from portal.core.money import ledger
from portal.core.money.invoice import read_amount
from portal.core.money.paying import ZERO
from portal.core.words import dollars, say
from portal.store import books, lots, owed, packages, payments, people, warranties
from portal.store.transaction import Work

#: What happened: the bank gave it back, or it never came and was entered by mistake.
KINDS = ("bounced", "mistake")


@dataclass(frozen=True, slots=True)
class Undone:
    """A lot whose invoice is owed again, as letters name it."""

    lot: str
    lot_id: str
    invoice: str
    amount: Decimal
    in_force: bool


def bounce(
    parts: Parts, who: Actor, payment_id: str, kind: str, on: date | None, reason: str, once_key: str
) -> None:
    """Record that a payment did not hold, once. The builder is told, unless it was entered by mistake."""
    must_be(who, "office")
    problems = [] if kind in KINDS else [Problem("kind", say("Say what happened."))]
    check(problems, text_problems("reason", reason, 500, say("Give the reason: the builder reads it.")))

    def do(work: Work) -> dict[str, Any]:
        payment = owed.payment(work, payment_id)
        payments.hold_account(work, payment.company_id)
        check(day_problems(parts.today(), on, payment.received_on))
        if payments.bounces(work, [payment.id]):
            raise refuse("It is recorded already that this payment did not hold.")
        assert on is not None
        undone = _undo(parts, work, who, payment, kind, on, reason)
        if kind == "bounced":
            _tell(parts, work, who, payment, on, reason, undone)
        return {}

    once(parts, who, f"bounce {payment_id}", once_key, do, {"kind": kind, "on": on, "reason": reason})


def _undo(
    parts: Parts, work: Work, who: Actor, payment: Any, kind: str, on: date, reason: str
) -> list[Undone]:
    paid = payments.paid_by(work, payment.id)
    ids = [invoice_id for invoice_id, _ in paid]
    packages.locked_lots(work, payments.lot_ids(work, ids))
    payments.hold_invoices(work, ids)
    owed.add_adjustment(
        work, kind="bounced", company_id=payment.company_id, payment_id=payment.id, amount=payment.amount,
        method=payment.method, reference=kind, reason=reason, on=on, by=who.name,
    )  # fmt: skip
    for invoice_id, amount in paid:
        owed.allocate(work, payment_id=payment.id, invoice_id=invoice_id, amount=-amount, by=who.name)
    post(
        parts, work, who, "bounced", payment.reference or payment.method,
        ledger.bounced(payment.method, payment.amount, paid),
        company_id=payment.company_id, source_id=payment.id, happened_on=on,
    )  # fmt: skip
    _ask_again_what_was_let_off(parts, work, who, payment, on)
    note(work, who, "bounced", payment.reference or payment.method, amount=str(payment.amount), how=kind)
    return [one for invoice_id, amount in paid for one in _reopened(parts, work, who, invoice_id, amount)]


def _ask_again_what_was_let_off(parts: Parts, work: Work, who: Actor, payment: Any, on: date) -> None:
    for invoice_id, let_off in payments.let_off_with(work, payment.id):
        # What a credit note took back of it is nobody's to ask for again.
        off = max(let_off - _let_off_credited(work, invoice_id), ZERO)
        if not off:
            continue
        row = owed.add_adjustment(
            work, kind="prompt payment", company_id=payment.company_id, amount=-off, on=on, by=who.name,
            invoice_id=invoice_id, payment_id=payment.id,
        )  # fmt: skip
        post(
            parts, work, who, "prompt payment", owed.invoice(work, invoice_id).number,
            ledger.taken_for_prompt_payment(invoice_id, -off),
            company_id=payment.company_id, source_id=row.id, happened_on=on,
        )  # fmt: skip


def _let_off_credited(work: Work, invoice_id: str) -> Decimal:
    if owed.written_off(work, invoice_id):
        return ZERO  # then it is what was written off that a credit note takes back
    notes = owed.credit_notes(work, invoice_id)
    return sum((Decimal(row.document.get("let_off", "0")) for row in notes), ZERO)


def _reopened(parts: Parts, work: Work, who: Actor, invoice_id: str, amount: Decimal) -> list[Undone]:
    invoice = owed.invoice(work, invoice_id)
    _credit_again(parts, work, who, invoice)
    found = []
    for row in owed.lots_of(work, invoice_id):
        lot, warranty = lots.lot(work, row.lot_id), warranties.warranty_of(work, row.lot_id)
        note(work, who, "bounced", invoice.number, lot.id, amount=str(amount))
        in_force = row.speaks and warranty is not None and warranty.state == "in force"
        found.append(Undone(lot_name(lot), lot.id, invoice.number, amount, in_force))
    settle(parts, work, who, invoice)
    return found


def _credit_again(parts: Parts, work: Work, who: Actor, invoice: Any) -> None:
    """What a credit note took back of an invoice that was paid takes it off what is asked for again."""
    notes = {row.id for row in owed.credit_notes(work, invoice.id)}
    if not notes:
        return
    for source in payments.sources(work, invoice.company_id):
        free = min(source.left, books.receivable_of(work, invoice.id),
                   max(books.credit_of(work, invoice.company_id), ZERO))  # fmt: skip
        if source.id in notes and free > 0:
            apply(parts, work, who, invoice.company_id, source, invoice.id, free)


def _tell(
    parts: Parts, work: Work, who: Actor, payment: Any, on: date, reason: str, undone: list[Undone]
) -> None:
    said: dict[str, Any] = {
        "amount": payment.amount, "method": payment.method, "reference": payment.reference,
        "received_on": payment.received_on, "on": on, "reason": reason,
        "undone": [{"lot": one.lot, "invoice": one.invoice, "amount": one.amount} for one in undone],
    }  # fmt: skip
    mail_builder(
        parts, work, "bounced", payment.company_id, link=parts.links.builder_payments(), **said
    )  # fmt: skip
    mail_office(
        parts, work, "bounced_office", by=who.name, company=people.company(work, payment.company_id).name,
        in_force=[one.lot for one in undone if one.in_force], link=parts.links.office_payment(payment.id),
        **said,
    )  # fmt: skip


def write_off(parts: Parts, who: Actor, invoice_id: str, amount: str, reason: str, once_key: str) -> None:
    """Give up what nobody will pay anymore, not more than is open. An owner's act."""
    must_be_owner(who)
    problems, gone = [], ZERO
    try:
        gone = read_amount(amount)
        if gone <= 0:
            problems.append(Problem("amount", say("What is written off is more than zero.")))
    except BadInput as bad:
        problems += bad.problems
    check(problems, text_problems("reason", reason, 500, say("Give the reason: it is kept in the books.")))

    def do(work: Work) -> dict[str, Any]:
        held = hold_lots(work, owed.invoice(work, invoice_id).id)
        invoice = owed.locked_invoice(work, invoice_id)
        asks, still_open = books.receivable_of(work, invoice.id), books.open_of(work, invoice.id)
        if gone > still_open:
            says = say("{open} is open; {amount} would be too much.",
                       open=dollars(still_open), amount=dollars(gone))  # fmt: skip
            raise BadInput([Problem("amount", says)])
        now = min(gone, asks)  # what is held back goes last: it is not asked for yet
        row = owed.add_adjustment(
            work, kind="written off", company_id=invoice.company_id, invoice_id=invoice.id, amount=gone,
            reason=reason, on=parts.today(), by=who.name,
        )  # fmt: skip
        post(
            parts, work, who, "written off", invoice.number, ledger.written_off(invoice.id, now, gone - now),
            company_id=invoice.company_id, source_id=row.id,
        )  # fmt: skip
        for lot in held:
            note(work, who, "written off", invoice.number, lot.id, amount=str(gone), reason=reason)
        settle(parts, work, who, invoice)
        return {}

    once(parts, who, f"write off {invoice_id}", once_key, do, {"amount": amount, "reason": reason})
