"""What is said about an invoice before it is paid: that it is not right, and by when it will be paid."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.reminding import mail_money
from portal.acts.texts import MISSING, check, text_problems
from portal.acts.trail import mail_office, note
from portal.core.errors import Problem, refuse
from portal.core.journey import OWING
from portal.core.words import say
from portal.store import chasing as rows
from portal.store import owed
from portal.store.transaction import Work

#: Nobody promises further ahead than this.
FURTHEST = timedelta(days=365)


def _own(work: Work, who: Actor, invoice_id: str) -> Any:
    """The invoice, held; a builder's own."""
    must_be(who, "builder", "office")
    must_have(who, "money")
    owed.invoice(work, invoice_id, company_id=who.company_id if who.kind == "builder" else None)
    return owed.locked_invoice(work, invoice_id)


def dispute(parts: Parts, who: Actor, invoice_id: str, reason: str) -> None:
    """Say that an invoice is not right, and why. Nobody is reminded of it until that is settled."""
    with parts.store.writing() as work:
        invoice = _own(work, who, invoice_id)
        check(text_problems("reason", reason, 1000, say("Say what is not right.")))
        if invoice.state not in OWING:
            raise refuse("Nothing is open on this invoice, so there is nothing to hold back.")
        if any(row.settled_at is None for row in rows.disputes_of(work, invoice.id)):
            raise refuse("Somebody said already that this invoice is not right; that is not settled yet.")
        rows.add_dispute(work, invoice.id, reason=reason.strip(), by=who.name)
        note(work, who, "disputed", invoice.number, invoice.lot_id, reason=reason.strip())
        if who.kind == "builder":
            mail_office(
                parts, work, "disputed", invoice.lot_id, invoice=invoice.number, by=who.name,
                company=who.company, reason=reason.strip(), link=parts.links.office_chase(invoice.id),
            )  # fmt: skip


def settle_dispute(parts: Parts, who: Actor, invoice_id: str, words: str) -> None:
    """Say how it was settled. A builder may take its own word back; reminders go on from here."""
    with parts.store.writing() as work:
        invoice = _own(work, who, invoice_id)
        check(text_problems("words", words, 1000, say("Say how it was settled.")))
        found = [row for row in rows.disputes_of(work, invoice.id) if row.settled_at is None]
        if not found:
            raise refuse("Nobody says that this invoice is not right.")
        row = found[0]
        row.words, row.settled_by, row.settled_at = words.strip(), who.name, work.now
        note(work, who, "dispute settled", invoice.number, invoice.lot_id, words=words.strip())
        values: dict[str, Any] = {
            "invoice": invoice.number, "by": who.name, "reason": row.reason, "words": row.words,
        }  # fmt: skip
        if who.kind == "office":
            link = parts.links.builder_lot(invoice.lot_id)
            mail_money(
                parts, work, "dispute_settled", invoice.company_id, invoice.lot_id, **values, link=link
            )
        else:
            link = parts.links.office_chase(invoice.id)
            mail_office(parts, work, "dispute_settled", invoice.lot_id, **values, link=link)


def promise(parts: Parts, who: Actor, invoice_id: str, by_day: date | None, said_by: str, words: str) -> None:
    """Take down by when somebody of the builder's said it will be paid. Until then nobody is reminded."""
    must_be(who, "office")
    problems = []
    if by_day is None:
        problems.append(Problem("by_day", say("Enter the day it was promised by.")))
    elif by_day < parts.today():
        problems.append(Problem("by_day", say("{day} is over.", day=by_day)))
    elif by_day > parts.today() + FURTHEST:
        problems.append(Problem("by_day", say("A promise is for a year at most.")))
    check(problems, text_problems("said_by", said_by, 200, MISSING), text_problems("words", words, 500))
    assert by_day is not None
    with parts.store.writing() as work:
        invoice = _own(work, who, invoice_id)
        if invoice.state not in OWING:
            raise refuse("Nothing is open on this invoice, so there is nothing to promise.")
        rows.add_promise(
            work, invoice.id, by_day=by_day, said_by=said_by.strip(), words=words.strip(), by=who.name
        )
        note(
            work, who, "payment promised", invoice.number, invoice.lot_id, by_day=by_day.isoformat(),
            said_by=said_by.strip(),
        )  # fmt: skip
