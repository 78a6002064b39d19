"""The lines of a bank's list: what each could be, and what a person makes of it, once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.banking import BankListView, view
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.paying import Typed, receive
from portal.acts.paying import read as read_payment
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.bank.matching import LATER, Book, Known, Open, Proposal, book_of, proposals
from portal.core.errors import refuse
from portal.core.money.amount import cents
from portal.store import bank, owed, payments, people
from portal.store.transaction import Work

PAGE = 50
#: What can be looked at alone, and the states of lines that it means.
SHOWN = {"": ("open",), "taken": ("taken",), "aside": ("aside",), "out": ("out",)}
#: The longest reference that a payment takes.
REFERENCE = 80


@dataclass(frozen=True, slots=True)
class Pays:
    """An invoice that a proposal pays."""

    invoice_id: str
    number: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Proposed:
    """A proposal as a page shows it."""

    company_id: str
    company: str
    pays: tuple[Pays, ...]
    rest: Decimal
    why: tuple[Any, ...]
    payment_id: str


@dataclass(frozen=True, slots=True)
class LineView:
    """A line, what it could be, and what was made of it."""

    id: str
    list_id: str
    line: int
    day: date
    amount: Decimal
    text: str
    state: str
    payment_id: str | None
    reason: str
    decided_by: str
    proposed: tuple[Proposed, ...] = ()


@dataclass(frozen=True, slots=True)
class LinesPage:
    """A page of a list's lines. `more`: offset of the next page."""

    list: BankListView
    lines: tuple[LineView, ...]
    more: int | None


def look(parts: Parts, who: Actor, list_id: str, show: str = "", offset: int = 0) -> LinesPage:
    """Lines of a list with what they could be: those that nobody decided on, or others."""
    must_be(who, "office")
    with parts.store.reading() as work:
        found = view(work, list_id)
        rows = bank.lines(work, list_id, SHOWN.get(show, ("open",)), PAGE + 1, offset)
        more = offset + PAGE if len(rows) > PAGE else None
        return LinesPage(found, _with_proposals(work, rows[:PAGE]), more)


def line(parts: Parts, who: Actor, line_id: str) -> LineView:
    """One line with what it could be."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return _with_proposals(work, [bank.line(work, line_id)])[0]


def _with_proposals(work: Work, rows: list[Any]) -> tuple[LineView, ...]:
    waiting = [row for row in rows if row.state == "open"]
    if not waiting:
        return tuple(_line(row) for row in rows)
    owing = payments.owing(work)
    names = {row.id: row.name for row in people.companies(work, owners=True)}
    numbers = {invoice.id: invoice.number for invoice, _ in owing}
    book = _book(work, waiting, owing, names)
    found = {row.id: proposals(row.day, row.amount, row.text, book) for row in waiting}
    return tuple(
        replace(_line(row), proposed=tuple(_proposed(one, names, numbers) for one in found.get(row.id, ())))
        for row in rows
    )  # fmt: skip


def _book(work: Work, rows: list[Any], owing: list[tuple[Any, Decimal]], names: dict[str, str]) -> Book:
    days = [row.day for row in rows]
    known = bank.unlinked(work, {row.amount for row in rows}, min(days) - LATER, max(days) + LATER)
    return book_of(
        (Open(one.id, one.number, one.company_id, asks, one.document.get("purchase_order", ""))
         for one, asks in owing),
        names.items(),
        (Known(one.id, one.company_id, one.amount, one.received_on, one.reference) for one in known),
    )  # fmt: skip


def _proposed(one: Proposal, names: dict[str, str], numbers: dict[str, str]) -> Proposed:
    pays = tuple(Pays(part.invoice, numbers[part.invoice], part.amount) for part in one.parts)
    return Proposed(one.company_id, names[one.company_id], pays, one.rest, one.why, one.payment_id)


def _line(row: Any) -> LineView:
    return LineView(
        row.id, row.list_id, row.line, row.day, row.amount, row.text, row.state, row.payment_id, row.reason,
        row.decided_by,
    )  # fmt: skip


def typed_for(line: LineView, method: str = "bank transfer", **more: Any) -> Typed:
    """A payment as a line has it: its amount, its day, its text as the reference."""
    return Typed(str(cents(line.amount)), method, line.text[:REFERENCE].strip(), line.day, **more)


def take(parts: Parts, who: Actor, line_id: str, company_id: str, typed: Typed, once_key: str) -> str:
    """Record the payment that a line is; answers the payment's id. Amount and day are the line's.

    Raises `BadInput` as recording any payment does, and `Refused` where somebody decided already.
    """
    must_be(who, "office")

    def do(work: Work) -> dict[str, Any]:
        row = _open_line(work, line_id)
        mine = replace(typed, amount=str(row.amount), received_on=row.day)
        payment = receive(parts, work, who, company_id, read_payment(mine, parts.today()))
        _decide(work, who, row, "taken", payment_id=payment.id)
        return {"payment": payment.id}

    said = [company_id, typed.method, typed.reference, typed.how, dict(typed.chosen)]
    return str(once(parts, who, f"take {line_id}", once_key, do, said)["payment"])


def known_already(parts: Parts, who: Actor, line_id: str, payment_id: str) -> None:
    """Say that a line is a payment that is recorded already; behind each stands one line at most."""
    must_be(who, "office")
    if not payment_id:
        raise refuse("Say which payment it is.")
    with parts.store.writing() as work:
        if bank.locked_line(work, line_id).payment_id == payment_id:
            return  # pressed twice
        row, payment = _open_line(work, line_id), owed.payment(work, payment_id)
        if payment.amount != row.amount:
            raise refuse("The payment is of {amount}, the line of {other}.",
                         amount=payment.amount, other=row.amount)  # fmt: skip
        if bank.line_of(work, payment.id) is not None:
            raise refuse("Another line of the bank’s stands behind this payment already.")
        _decide(work, who, row, "taken", payment_id=payment.id)
        note(work, who, "bank line known", payment.reference or payment.method, amount=str(row.amount))


def set_aside(parts: Parts, who: Actor, line_id: str, reason: str) -> None:
    """Set a line aside: it is no payment of a builder's."""
    must_be(who, "office")
    check(text_problems("reason", reason, 500))
    with parts.store.writing() as work:
        row = _open_line(work, line_id)
        _decide(work, who, row, "aside", reason=reason.strip())
        note(work, who, "bank line aside", row.text[:80], amount=str(row.amount), reason=reason)


def take_up(parts: Parts, who: Actor, line_id: str) -> None:
    """Take a line up again that was set aside."""
    must_be(who, "office")
    with parts.store.writing() as work:
        row = bank.locked_line(work, line_id)
        if row.state != "aside":
            raise refuse("This line is not set aside.")
        _decide(work, who, row, "open")
        note(work, who, "bank line back", row.text[:80], amount=str(row.amount))


def _open_line(work: Work, line_id: str) -> Any:
    """The line, held before everything that its payment will hold, as long as nobody decided on it."""
    row = bank.locked_line(work, line_id)
    if row.state != "open":
        if row.state == "out":
            raise refuse("This left the account: it is no payment.")
        raise refuse("Something was made of this line already, by {by}.", by=row.decided_by)
    return row


def _decide(
    work: Work, who: Actor, row: Any, state: str, *, payment_id: str | None = None, reason: str = ""
) -> None:
    row.state, row.payment_id, row.reason = state, payment_id, reason
    row.decided_by, row.decided_at = who.name, work.now
    work.session.flush()
