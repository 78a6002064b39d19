"""A builder's account and its statements: from the ledger's postings, and from nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from msgspec import structs

from portal.acts.editions import in_force
from portal.acts.issuing import paper_number
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.reminding import mail_money
from portal.acts.texts import check
from portal.acts.trail import note, once
from portal.core.documents import (
    Builder,
    OpenInvoice,
    StatementDocument,
    StatementLine,
    fingerprint,
    from_stored,
    to_stored,
)
from portal.core.errors import Problem
from portal.core.money.ageing import Ageing, aged, days_past
from portal.core.pricing.rates import read_rates
from portal.core.words import say
from portal.store import people
from portal.store import statements as rows
from portal.store.transaction import Work

PREFIX = "STM"


@dataclass(frozen=True, slots=True)
class StatementRow:
    """A statement that was made."""

    id: str
    number: str
    first: date
    last: date
    closing: Decimal
    made_by: str
    made_on: date
    sent_on: date | None


@dataclass(frozen=True, slots=True)
class Account:
    """What a builder owes today, by how late it is, and the statements made of it."""

    company_id: str
    company: str
    today: date
    currency: str
    open: tuple[tuple[str, OpenInvoice], ...]
    ageing: Ageing
    credit: Decimal
    held_back: Decimal
    statements: tuple[StatementRow, ...]

    @property
    def balance(self) -> Decimal:
        """What is open, less what the builder has to its credit."""
        return self.ageing.total - self.credit


def account(parts: Parts, who: Actor, company_id: str = "") -> Account:
    """A builder's account: the office's any, a builder's own."""
    company_id = _company(who, company_id)
    today = parts.today()
    with parts.store.reading() as work:
        company = people.company(work, company_id)
        open_ = rows.open_rows(work, company_id, today)
        return Account(
            company_id, company.name, today, _currency(work, today),
            tuple((row.id, _open(row, today)) for row in open_),
            _aged(open_, today), rows.credit(work, company_id, today),
            rows.held_back(work, company_id, today),
            tuple(_row(parts, row) for row in rows.statements(work, company_id)),
        )  # fmt: skip


def _company(who: Actor, company_id: str) -> str:
    must_be(who, "builder", "office")
    must_have(who, "money")
    return (who.company_id or "") if who.kind == "builder" else company_id


def _currency(work: Work, day: date) -> str:
    return read_rates(in_force(work, day).rates.document).currency


def _aged(open_: list[rows.OpenRow], on: date) -> Ageing:
    return aged(((due.day, due.amount) for row in open_ for due in row.dues), on)


def _open(row: rows.OpenRow, on: date) -> OpenInvoice:
    return OpenInvoice(row.number, row.lot, row.issued_on, row.due_on, days_past(row.due_on, on), row.open)


def _row(parts: Parts, row: Any) -> StatementRow:
    sent_on = row.sent_at.astimezone(parts.zone).date() if row.sent_at else None
    made_on = row.made_at.astimezone(parts.zone).date()
    return StatementRow(
        row.id, row.number, row.first_day, row.last_day, row.closing, row.made_by, made_on, sent_on
    )


def make_statement(
    parts: Parts, who: Actor, company_id: str, first: date | None, last: date | None, once_key: str
) -> str:
    """Freeze a builder's account of a time; answers the statement's id.

    Where nothing happened since the last one of the same days, it is that one.
    """
    company_id = _company(who, company_id)
    check(_problems(parts, first, last))
    assert first is not None and last is not None

    def do(work: Work) -> dict[str, Any]:
        people.locked_company(work, company_id)
        document = _document(parts, work, company_id, first, last)
        made = [
            row for row in rows.statements(work, company_id) if (row.first_day, row.last_day) == (first, last)
        ]
        for row in made:
            kept = from_stored(StatementDocument, row.document)
            if structs.replace(kept, number="", made_on=document.made_on) == document:
                return {"id": row.id}
        document = structs.replace(document, number=paper_number(work, PREFIX, parts.today().year))
        stored = to_stored(document)
        row = rows.add_statement(
            work, number=document.number, company_id=company_id, first_day=first, last_day=last,
            document=stored, fingerprint=fingerprint(stored), closing=document.closing, made_by=who.name,
        )  # fmt: skip
        note(work, who, "statement", document.number)
        return {"id": row.id}

    said = {"first": first, "last": last}
    return str(once(parts, who, f"statement {company_id}", once_key, do, said)["id"])


def _problems(parts: Parts, first: date | None, last: date | None) -> list[Problem]:
    found = []
    if first is None:
        found.append(Problem("first", say("Enter the first day.")))
    if last is None:
        found.append(Problem("last", say("Enter the last day.")))
    elif last > parts.today():
        found.append(Problem("last", say("{day} has not come yet.", day=last)))
    if first and last and first > last:
        found.append(Problem("first", say("The first day comes after the last.")))
    return found


def _document(parts: Parts, work: Work, company_id: str, first: date, last: date) -> StatementDocument:
    company, today = people.company(work, company_id), parts.today()
    editions = in_force(work, today)
    opening = rows.balance_before(work, company_id, first)
    lines = _lines(work, company_id, first, last, opening)
    open_ = rows.open_rows(work, company_id, last)
    return StatementDocument(
        number="", office=editions.office(), currency=read_rates(editions.rates.document).currency,
        builder=Builder(
            company.name, tuple(line for line in company.address.splitlines() if line.strip()),
            company.phone, company.email, "",
        ),
        first=first, last=last, made_on=today, opening=opening, lines=lines,
        closing=lines[-1].balance if lines else opening,
        open=tuple(_open(row, last) for row in open_),
        ageing=_aged(open_, last),
        credit=rows.credit(work, company_id, last), held_back=rows.held_back(work, company_id, last),
        pay_to=editions.firm.document["pay_to"],
    )  # fmt: skip


def _lines(
    work: Work, company_id: str, first: date, last: date, opening: Decimal
) -> tuple[StatementLine, ...]:
    found = rows.account_rows(work, company_id, first, last)
    lots = rows.lots_of_invoices(work, [row.source_id for row in found if row.event == "invoiced"])
    lines, balance = [], opening
    for row in found:
        balance += row.amount
        about = lots.get(row.source_id, "") or ", ".join(row.invoices)
        lines.append(StatementLine(row.day, row.event, row.subject, about, row.amount, balance))
    return tuple(lines)


def send_statement(parts: Parts, who: Actor, statement_id: str, once_key: str) -> int:
    """Mail a builder that a statement is there for it; answers of how many were written to."""
    must_be(who, "office")

    def do(work: Work) -> dict[str, Any]:
        row = rows.statement(work, statement_id)
        document = from_stored(StatementDocument, row.document)
        told = mail_money(
            parts, work, "statement", row.company_id, statement=row.number, first=row.first_day,
            last=row.last_day, closing=row.closing, late=document.ageing.late, currency=document.currency,
            office=document.office, link=parts.links.builder_account(),
        )  # fmt: skip
        row.sent_at = work.now
        note(work, who, "statement sent", row.number, told=told)
        return {"told": told}

    return int(once(parts, who, f"send {statement_id}", once_key, do)["told"])
