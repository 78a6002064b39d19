"""Records money that came: by builder, for its oldest invoices, for chosen ones, or for none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.posting import post
from portal.acts.settling import prompt_off, settle
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.money import ledger
from portal.core.money.invoice import read_amount
from portal.core.money.paying import (
    HOWS,
    METHODS,
    ZERO,
    Owing,
    Part,
    Plan,
    as_chosen,
    check_rest,
    oldest_first,
    read_parts,
)
from portal.core.words import say
from portal.store import books, owed, packages, payments
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Typed:
    """A payment as it was typed. `chosen` are the parts by invoice; `keep` is the rest that may be kept."""

    amount: str
    method: str
    reference: str
    received_on: date | None
    how: str = "oldest"
    chosen: Mapping[str, str] = field(default_factory=dict)
    keep: str = ""


@dataclass(frozen=True, slots=True)
class Came:
    """The same, read."""

    amount: Decimal
    method: str
    reference: str
    received_on: date
    how: str
    chosen: Mapping[str, Decimal]
    keep: str


def receive_payment(parts: Parts, who: Actor, company_id: str, typed: Typed, once_key: str) -> str:
    """Record money that came from a builder; answers the payment's id. Raises `BadInput`."""
    must_be(who, "office")
    came = read(typed, parts.today())

    def do(work: Work) -> dict[str, Any]:
        return {"payment": receive(parts, work, who, company_id, came).id}

    return str(once(parts, who, f"receive {company_id}", once_key, do, said_of(typed))["payment"])


def record_payment(
    parts: Parts, who: Actor, invoice_id: str, amount: str, method: str, reference: str,
    received_on: date | None, once_key: str, keep: str = "",
) -> None:  # fmt: skip
    """Record money that came on one invoice; the last of it brings the warranty into force, by its terms."""
    must_be(who, "office")
    typed = Typed(amount, method, reference, received_on, "chosen", keep=keep)
    came = read(typed, parts.today())

    def do(work: Work) -> dict[str, Any]:
        invoice = owed.invoice(work, invoice_id)
        payments.hold_account(work, invoice.company_id)
        asks = books.receivable_of(work, invoice.id)
        if asks <= 0:
            raise refuse("Nothing is open on this invoice: it is paid.")
        part = min(_free(work, invoice.company_id, came.amount), asks)
        how, chosen = ("chosen", {invoice.id: part}) if part else ("none", {})
        receive(parts, work, who, invoice.company_id, replace(came, how=how, chosen=chosen))
        return {}

    once(parts, who, f"pay {invoice_id}", once_key, do, said_of(typed))


def read(typed: Typed, today: date) -> Came:
    """What was typed, read. Raises `BadInput` with everything that is wrong in it."""
    problems = []
    if typed.method not in METHODS:
        problems.append(Problem("method", say("Choose how it was paid.")))
    if typed.received_on is None:
        problems.append(Problem("received_on", say("Enter the day it came.")))
    elif typed.received_on > today:
        not_yet = say("{day} has not come yet.", day=typed.received_on)
        problems.append(Problem("received_on", not_yet))
    if typed.how not in HOWS:
        problems.append(Problem("how", say("Choose what it pays.")))
    amount, chosen = ZERO, {}
    try:
        amount = read_amount(typed.amount)
        if amount <= 0:
            problems.append(Problem("amount", say("A payment is more than zero.")))
    except BadInput as bad:
        problems += bad.problems
    try:
        chosen = read_parts(typed.chosen) if typed.how == "chosen" else {}
    except BadInput as bad:
        problems += bad.problems
    check(problems, text_problems("reference", typed.reference, 80))
    assert typed.received_on is not None
    return Came(
        amount, typed.method, typed.reference.strip(), typed.received_on, typed.how, chosen, typed.keep
    )


def said_of(typed: Typed) -> dict[str, Any]:
    """A payment as plain data, for its once-key. Saying to keep the rest mends a form, it is no other one."""
    return {
        "amount": typed.amount.strip(), "method": typed.method, "reference": typed.reference,
        "on": typed.received_on, "how": typed.how, "chosen": dict(typed.chosen),
    }  # fmt: skip


def receive(parts: Parts, work: Work, who: Actor, company_id: str, came: Came) -> Any:
    """Record money in an open transaction: the one way in, whoever decided on it."""
    payments.hold_account(work, company_id)
    plan = _planned(work, company_id, came, _free(work, company_id, came.amount))
    if came.how != "none":
        check_rest(plan.rest, came.keep)
    payment = owed.add_payment(
        work, company_id=company_id, amount=came.amount, method=came.method, reference=came.reference,
        received_on=came.received_on, by=who.name,
    )  # fmt: skip
    posts = ledger.received(came.method, came.amount)
    for part in plan.parts:
        posts += ledger.applied(part.invoice, part.amount)
        owed.allocate(
            work, payment_id=payment.id, invoice_id=part.invoice, amount=part.amount, by=who.name
        )  # fmt: skip
    post(
        parts, work, who, "received", came.reference or came.method, posts,
        company_id=company_id, source_id=payment.id, happened_on=came.received_on,
    )  # fmt: skip
    said = {"amount": str(came.amount), "method": came.method, "reference": came.reference}
    if not plan.parts:
        note(work, who, "paid", came.reference or came.method, **said)
    for part in plan.parts:
        _let_off(parts, work, who, company_id, payment.id, part, came.received_on)
    for part in plan.parts:
        invoice = owed.invoice(work, part.invoice)
        for row in owed.lots_of(work, part.invoice):
            note(work, who, "paid", invoice.number, row.lot_id, **said | {"amount": str(part.amount)})
        settle(parts, work, who, invoice)
    return payment


def _free(work: Work, company_id: str, amount: Decimal) -> Decimal:
    """How much of what came can pay invoices: a refund of a check that bounced is owed back first."""
    return max(amount - max(-books.credit_of(work, company_id), ZERO), ZERO)


def _planned(work: Work, company_id: str, came: Came, free: Decimal) -> Plan:
    """What it pays, with all of that held. Raises `BadInput`."""
    if came.how == "none":
        return Plan((), free)
    held = hold_owing(work, company_id, came.received_on, set(came.chosen) if came.how == "chosen" else None,
                      enough=free)  # fmt: skip
    return as_chosen(free, held, came.chosen) if came.how == "chosen" else oldest_first(free, held)


def hold_owing(
    work: Work, company_id: str, on: date | None, ids: set[str] | None, enough: Decimal | None = None
) -> list[Owing]:
    """A builder's invoices that ask for something, held with their lots: these, or the oldest.

    Of the oldest as many as `enough` can pay. `on` is the day of the payment, by which terms may let
    something off. Raises `NotFound` for an invoice that is not this builder's.
    """
    if ids is not None:
        for invoice_id in ids:
            if owed.invoice(work, invoice_id).company_id != company_id:
                raise NotFound("invoice", invoice_id)
    wanted, sum_of_them = [], ZERO
    for invoice, asks in _oldest_first(work, payments.owing(work, company_id)):
        if ids is not None and invoice.id not in ids:
            continue
        # Twice, because terms may let some of it off; none let off half.
        if ids is None and enough is not None and sum_of_them > 2 * enough:
            break
        wanted.append(invoice.id)
        sum_of_them += asks
    packages.locked_lots(work, payments.lot_ids(work, wanted))
    payments.hold_invoices(work, wanted)
    # Anew, now that nobody else can post to them.
    return [
        Owing(invoice.id, invoice.number, asks, prompt_off(work, invoice, asks, on))
        for invoice, asks in _oldest_first(work, payments.owing(work, company_id, wanted) if wanted else [])
    ]


def _oldest_first(work: Work, found: list[tuple[Any, Decimal]]) -> list[tuple[Any, Decimal]]:
    """By the day by which the first of what is open is due: of retainage released, its own."""
    days = payments.due_days(work, found)
    return sorted(found, key=lambda one: days[one[0].id])


def _let_off(
    parts: Parts, work: Work, who: Actor, company_id: str, payment_id: str, part: Part, on: date
) -> None:
    """Take off what the terms of an invoice let off for paying soon."""
    if not part.off:
        return
    row = owed.add_adjustment(
        work, kind="prompt payment", company_id=company_id, amount=part.off, on=on, by=who.name,
        invoice_id=part.invoice, payment_id=payment_id,
    )  # fmt: skip
    post(
        parts, work, who, "prompt payment", owed.invoice(work, part.invoice).number,
        ledger.taken_for_prompt_payment(part.invoice, part.off),
        company_id=company_id, source_id=row.id, happened_on=on,
    )  # fmt: skip
