"""A builder's credit: used on an invoice, or paid back. What it is made of is taken oldest first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.paying import hold_owing
from portal.acts.posting import post
from portal.acts.settling import settle
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.errors import BadInput, Problem, refuse
from portal.core.money import ledger
from portal.core.money.invoice import read_amount
from portal.core.money.paying import METHODS, ZERO, Source, as_chosen, drawn, read_parts
from portal.core.words import dollars, say
from portal.store import books, owed, payments, people
from portal.store.transaction import Work

NO_REASON = say("Give the reason: it is kept in the history.")


def use_credit(parts: Parts, who: Actor, company_id: str, chosen: Mapping[str, str], once_key: str) -> None:
    """Pay chosen invoices out of a builder's credit. `chosen` is what to pay, by invoice."""
    must_be(who, "office")
    wanted = read_parts(chosen)
    given = sum(wanted.values(), ZERO)

    def do(work: Work) -> dict[str, Any]:
        payments.hold_account(work, company_id)
        credit = books.credit_of(work, company_id)
        if credit <= 0:
            raise refuse("There is no credit to use.")
        if given > credit:
            says = say(
                "The parts come to {given}, and the credit is {credit}.",
                given=dollars(given),
                credit=dollars(credit),
            )
            raise BadInput([Problem("how", says)])
        plan = as_chosen(given, hold_owing(work, company_id, None, set(wanted)), wanted)
        left = payments.sources(work, company_id)
        for part in plan.parts:
            taken = drawn(part.amount, left)
            left = _without(left, taken)
            for source, amount in taken:
                apply(parts, work, who, company_id, source, part.invoice, amount)
        for part in plan.parts:
            invoice = owed.invoice(work, part.invoice)
            for row in owed.lots_of(work, part.invoice):
                note(work, who, "credit used", invoice.number, row.lot_id, amount=str(part.amount))
            settle(parts, work, who, invoice)
        return {}

    once(parts, who, f"use credit {company_id}", once_key, do, dict(chosen))


def apply(
    parts: Parts, work: Work, who: Actor, company_id: str, source: Source, invoice_id: str, amount: Decimal
) -> None:
    """So much of where credit came from pays an invoice. The caller holds both, and settles."""
    from_it = {"payment_id" if source.kind == "payment" else "credit_note_id": source.id}
    owed.allocate(work, invoice_id=invoice_id, amount=amount, by=who.name, **from_it)
    number = owed.invoice(work, invoice_id).number
    post(
        parts, work, who, "applied", number, ledger.applied(invoice_id, amount),
        company_id=company_id, source_id=source.id,
    )  # fmt: skip


def _without(sources: list[Source], taken: tuple[tuple[Source, Decimal], ...]) -> list[Source]:
    gone = {source.id: amount for source, amount in taken}
    return [Source(one.kind, one.id, one.left - gone.get(one.id, ZERO)) for one in sources]


def refund(
    parts: Parts, who: Actor, company_id: str, amount: str, method: str, reference: str,
    on: date | None, reason: str, once_key: str,
) -> None:  # fmt: skip
    """Pay back of a builder's credit, not more than there is."""
    must_be(who, "office")
    back = _checked(parts, amount, method, reference, on, reason)
    assert on is not None

    def do(work: Work) -> dict[str, Any]:
        payments.hold_account(work, company_id)
        credit = books.credit_of(work, company_id)
        if back > credit:
            says = say(
                "The credit is {credit}; {amount} would be too much.",
                credit=dollars(credit),
                amount=dollars(back),
            )
            raise BadInput([Problem("amount", says)])
        for source, part in drawn(back, payments.sources(work, company_id)):
            owed.add_adjustment(
                work, kind="refunded", company_id=company_id, amount=part, on=on, by=who.name,
                payment_id=source.id if source.kind == "payment" else None, method=method,
                reference=reference, reason=reason,
            )  # fmt: skip
            # Under where it came from, so that the ledger says how much of that is left.
            post(
                parts, work, who, "refunded", reference or method, ledger.refunded(method, part),
                company_id=company_id, source_id=source.id, happened_on=on,
            )  # fmt: skip
        note(work, who, "refunded", people.company(work, company_id).name, amount=str(back), method=method,
             reference=reference, reason=reason)  # fmt: skip
        return {}

    said = {"amount": amount, "method": method, "reference": reference, "on": on, "reason": reason}
    once(parts, who, f"refund {company_id}", once_key, do, said)


def _checked(parts: Parts, amount: str, method: str, reference: str, on: date | None, reason: str) -> Decimal:
    problems, back = [], ZERO
    try:
        back = read_amount(amount)
        if back <= 0:
            problems.append(Problem("amount", say("A refund is more than zero.")))
    except BadInput as bad:
        problems += bad.problems
    if method not in METHODS:
        problems.append(Problem("method", say("Choose how it was paid back.")))
    check(problems, day_problems(parts.today(), on, None), text_problems("reference", reference, 80),
          text_problems("reason", reason, 500, NO_REASON))  # fmt: skip
    return back


def day_problems(today: date, on: date | None, first: date | None) -> list[Problem]:
    """What is wrong with the day on which something happened: missing, still to come, or before it could."""
    if on is None:
        return [Problem("on", say("Enter the day."))]
    if on > today:
        return [Problem("on", say("{day} has not come yet.", day=on))]
    if first is not None and on < first:
        return [Problem("on", say("That is before it came, on {day}.", day=first))]
    return []
