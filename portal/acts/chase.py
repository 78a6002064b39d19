"""What the office looks at to get paid: who is late and how late, what goes out next, what was said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.chase_terms import calendar_on
from portal.acts.interest import InterestDue, interest_due
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.reminding import Standing, standing
from portal.core.documents import InvoiceDocument, from_stored
from portal.core.journey import OWING
from portal.core.money.ageing import Ageing, aged, days_past
from portal.core.money.chasing import Calendar
from portal.store import books, owed
from portal.store import chasing as rows
from portal.store.chasing import OwedRow
from portal.store.transaction import Work

#: An invoice is due soon from so many days before its due day.
SOON = timedelta(days=7)
#: As many invoices as one page lists.
MOST = 200


@dataclass(frozen=True, slots=True)
class Promised:
    """By when, and who said so. `over`: the day has passed."""

    by_day: date
    said_by: str
    words: str
    made_by: str
    over: bool


@dataclass(frozen=True, slots=True)
class Disputed:
    """What somebody says is not right, and how it was settled, if it was."""

    reason: str
    opened_by: str
    opened_on: date
    words: str
    settled_by: str
    settled_on: date | None


@dataclass(frozen=True, slots=True)
class Chased:
    """An open invoice as it is chased. `next_on` and `next_days` are None where nothing more goes out."""

    row: OwedRow
    days: int
    last_on: date | None
    next_on: date | None
    next_days: int | None
    dispute: str
    promise: Promised | None


@dataclass(frozen=True, slots=True)
class BuilderOwes:
    """A builder and what is open of it, by how late it is."""

    company_id: str
    company: str
    ageing: Ageing
    held_back: Decimal


@dataclass(frozen=True, slots=True)
class ChasePage:
    """The office's page. `steps`: whether reminders are entered; `more`: late ones that are not listed."""

    today: date
    builders: tuple[BuilderOwes, ...]
    ageing: Ageing
    held_back: Decimal
    late: tuple[Chased, ...]
    more: int
    soon: tuple[Chased, ...]
    steps: bool


def chase(parts: Parts, who: Actor) -> ChasePage:
    """Who is late, by builder and invoice by invoice, and what is due soon."""
    must_be(who, "office")
    today = parts.today()
    with parts.store.reading() as work:
        calendar, about, found = calendar_on(work, today), standing(work), rows.owed_rows(work)
    late = [row for row in found if row.due_on < today]
    soon = [row for row in found if today <= row.due_on <= today + SOON]
    return ChasePage(
        today, _by_builder(found, today), _aged(found, today),
        sum((row.held_back for row in found), Decimal("0.00")),
        tuple(_chased(calendar, about, row, today) for row in late[:MOST]), max(len(late) - MOST, 0),
        tuple(_chased(calendar, about, row, today) for row in soon[:MOST]), bool(calendar.steps),
    )  # fmt: skip


def _aged(found: list[OwedRow], today: date) -> Ageing:
    return aged(((due.day, due.amount) for row in found for due in row.dues), today)


def _by_builder(found: list[OwedRow], today: date) -> tuple[BuilderOwes, ...]:
    """Who is latest first, by the oldest bucket in which anything stands."""
    by_company: dict[tuple[str, str], list[OwedRow]] = {}
    for row in found:
        by_company.setdefault((row.company_id, row.company), []).append(row)
    builders = [
        BuilderOwes(company_id, company, _aged(owing, today),
                    sum((row.held_back for row in owing), Decimal("0.00")))
        for (company_id, company), owing in by_company.items()
    ]  # fmt: skip
    return tuple(
        sorted(builders, key=lambda one: (*(-sum_ for sum_ in one.ageing.buckets[::-1]), one.company))
    )


def _chased(calendar: Calendar, about: Standing, row: OwedRow, today: date) -> Chased:
    sent, dispute = about.sent.get(row.id), about.disputes.get(row.id)
    promise = _promised(about.promises.get(row.id), today)
    begin = today if promise is None or promise.over else promise.by_day + timedelta(days=1)
    coming = None if dispute else calendar.next(about.owed(row), begin)
    return Chased(
        row, days_past(row.due_on, today), sent.sent_on if sent else None,
        coming[1] if coming else None, coming[0].days if coming else None,
        dispute.reason if dispute else "", promise,
    )  # fmt: skip


def _promised(row: Any, today: date) -> Promised | None:
    if row is None:
        return None
    return Promised(row.by_day, row.said_by, row.words, row.made_by, row.by_day < today)


@dataclass(frozen=True, slots=True)
class Billed:
    """Interest that was billed: its invoice and the days it is for."""

    id: str
    number: str
    first: date
    last: date
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Told:
    """A step that went out: its days after the due day, its own day, and to how many persons."""

    days: int
    on: date
    told: int


@dataclass(frozen=True, slots=True)
class InvoiceChase:
    """One invoice: what it asks for, what was said about it, what went out, and interest to a day.

    `chased` is None where nothing is open anymore. `disputes` and `promises` stand newest first.
    """

    id: str
    number: str
    lot_id: str
    company_id: str
    state: str
    document: InvoiceDocument
    open: Decimal
    today: date
    chased: Chased | None
    disputes: tuple[Disputed, ...]
    promises: tuple[Promised, ...]
    reminders: tuple[Told, ...]
    until: date
    interest: InterestDue | None
    billed: tuple[Billed, ...]

    @property
    def dispute(self) -> Disputed | None:
        """The dispute that is open."""
        return next((one for one in self.disputes if one.settled_on is None), None)

    @property
    def is_open(self) -> bool:
        """Whether something is owed on it."""
        return self.state in OWING


def invoice_chase(parts: Parts, who: Actor, invoice_id: str, until: date | None = None) -> InvoiceChase:
    """An invoice as it is chased, with interest up to a day; a builder's own without what is the office's."""
    must_be(who, "office", "builder")
    must_have(who, "money")
    today = parts.today()
    own = who.company_id if who.kind == "builder" else None
    with parts.store.reading() as work:
        invoice = owed.invoice(work, invoice_id, company_id=own)
        found = rows.owed_rows(work, invoice_ids=[invoice.id])
        about, calendar = standing(work, invoice.company_id), calendar_on(work, today)
        day = min(until or today, today)
        return InvoiceChase(
            invoice.id, invoice.number, invoice.lot_id, invoice.company_id, invoice.state,
            from_stored(InvoiceDocument, invoice.document), books.receivable_of(work, invoice.id), today,
            _chased(calendar, about, found[0], today) if found else None,
            tuple(_disputed(parts, row) for row in rows.disputes_of(work, invoice.id)),
            tuple(_all_promises(work, invoice.id, today)),
            tuple(Told(row.days, row.sent_on, row.told) for row in rows.reminders_of(work, invoice.id)),
            day, interest_due(work, invoice, day),
            tuple(
                Billed(bill.id, bill.number, row.first_day, row.last_day, row.amount)
                for row, bill in rows.billed_interest_of(work, invoice.id)
            ),
        )  # fmt: skip


def _disputed(parts: Parts, row: Any) -> Disputed:
    settled = row.settled_at.astimezone(parts.zone).date() if row.settled_at else None
    opened = row.opened_at.astimezone(parts.zone).date()
    return Disputed(row.reason, row.opened_by, opened, row.words, row.settled_by, settled)


def _all_promises(work: Work, invoice_id: str, today: date) -> list[Promised]:
    found = (_promised(row, today) for row in rows.promises_of(work, invoice_id))
    return [promise for promise in found if promise is not None]


@dataclass(frozen=True, slots=True)
class SaidOf:
    """An open invoice of which something was said: disputed, or promised by a day that has passed."""

    id: str
    number: str
    lot: str
    company: str
    open: Decimal
    words: str
    by: str
    day: date


def needs_a_hand(parts: Parts, work: Work) -> tuple[tuple[SaidOf, ...], tuple[SaidOf, ...]]:
    """For the office's day: disputes that are open, and promises whose day has passed unpaid."""
    disputes, promises = rows.open_disputes(work), rows.newest_promises(work)
    over = {key: row for key, row in promises.items() if row.by_day < parts.today()}
    wanted = list({*disputes, *over})
    owing = rows.owed_rows(work, invoice_ids=wanted) if wanted else []
    disputed = tuple(
        SaidOf(row.id, row.number, row.lot, row.company, row.open, one.reason, one.opened_by,
               one.opened_at.astimezone(parts.zone).date())
        for row in owing if (one := disputes.get(row.id)) is not None
    )  # fmt: skip
    broken = tuple(
        SaidOf(row.id, row.number, row.lot, row.company, row.open, said.words, said.said_by, said.by_day)
        for row in owing if (said := over.get(row.id)) is not None and row.id not in disputes
    )  # fmt: skip
    return disputed, broken
