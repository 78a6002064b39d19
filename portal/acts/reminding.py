"""Reminds builders of invoices by the office's steps. The worker calls it; each step goes out once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.chase_terms import calendar_on
from portal.acts.editions import in_force
from portal.acts.parts import SYSTEM, Parts
from portal.acts.trail import mail, mail_builder, note
from portal.core.money.ageing import days_past
from portal.core.money.chasing import Calendar, Owed, Step
from portal.core.money.dues import due_by
from portal.store import chasing as rows
from portal.store import owed, people
from portal.store.chasing import OwedRow
from portal.store.transaction import Work

#: Of so few invoices each is named in the words; of more, their number.
NAMED = 3


@dataclass(frozen=True, slots=True)
class Standing:
    """What goes on about open invoices: the last step sent, disputes and promises, by invoice."""

    sent: Mapping[str, Any]
    disputes: Mapping[str, Any]
    promises: Mapping[str, Any]

    def owed(self, row: OwedRow) -> Owed:
        """What the steps go by."""
        last = self.sent.get(row.id)
        return Owed(row.issued_on, row.due_on, last.days if last else None)

    def is_waiting(self, row: OwedRow, today: date) -> bool:
        """Whether nobody is reminded of it: it is disputed, or was promised by a day that has not passed."""
        promise = self.promises.get(row.id)
        return row.id in self.disputes or (promise is not None and promise.by_day >= today)


def standing(work: Work, company_id: str | None = None) -> Standing:
    """What goes on about every open invoice, or those of one builder."""
    return Standing(
        rows.last_reminders(work, company_id), rows.open_disputes(work, company_id),
        rows.newest_promises(work, company_id),
    )  # fmt: skip


def remind(parts: Parts) -> int:
    """Send every step that is due today; answers of how many invoices somebody was reminded."""
    today = parts.today()
    with parts.store.reading() as work:
        calendar = calendar_on(work, today) if rows.edition_on(work, today) else Calendar(())
        if not calendar.steps or not calendar.is_worked(today):
            return 0
        found = _due(calendar, standing(work), rows.owed_rows(work), today)
    companies = dict.fromkeys(row.company_id for row, _step in found)
    return sum(_remind(parts, company_id, calendar, today) for company_id in companies)


def _due(
    calendar: Calendar, about: Standing, open_rows: list[OwedRow], today: date
) -> list[tuple[OwedRow, Step]]:
    steps = [(row, calendar.due(about.owed(row), today)) for row in open_rows]
    return [(row, step) for row, step in steps if step is not None and not about.is_waiting(row, today)]


def _remind(parts: Parts, company_id: str, calendar: Calendar, today: date) -> int:
    """One builder at a time, so that a person never waits for all of them."""
    with parts.store.writing() as work:
        # Held before they are looked at again: somebody may just be paying, or another worker be here.
        rows.locked_invoices(work, [row.id for row in rows.owed_rows(work, company_id=company_id)])
        open_rows = rows.owed_rows(work, company_id=company_id)
        found = _due(calendar, standing(work, company_id), open_rows, today)
        by_step: dict[Step, list[OwedRow]] = {}
        for row, step in found:
            by_step.setdefault(step, []).append(row)
        for step, due in by_step.items():
            told = _tell(parts, work, step, due, today)
            for row in due:
                _keep(work, row, step, told, today)
        return len(found)


def _keep(work: Work, row: OwedRow, step: Step, told: int, today: date) -> None:
    edition = rows.edition_on(work, today)
    assert edition is not None
    number = edition.number
    rows.add_reminder(work, row.id, days=step.days, edition=number, told=told, on=today)
    note(work, SYSTEM, "chased", row.number, row.lot_id, days=step.days, told=told)


def _tell(parts: Parts, work: Work, step: Step, due: list[OwedRow], today: date) -> int:
    """One letter for all of a builder's invoices at one step: of ten letters nobody would read the last."""
    first = due[0]
    several = len(due) > 1
    named = len(due) <= NAMED
    document = owed.invoice(work, first.id).document
    return mail_money(
        parts, work, "reminder", first.company_id, None if several else first.lot_id,
        subject=step.subject, body=step.body, currency=document["owed"]["currency"],
        invoice=", ".join(row.number for row in due) if named else None,
        lot=", ".join(dict.fromkeys(row.lot for row in due)) if named else None,
        count=len(due), amount=sum((_asked(row, today) for row in due), Decimal("0.00")), due=first.due_on,
        days=days_past(first.due_on, today) or (first.due_on - today).days,
        invoices=[(row.number, row.lot, row.due_on, _asked(row, today)) for row in due] if several else [],
        link=parts.links.builder_account() if several else parts.links.builder_lot(first.lot_id),
        office=in_force(work, today).office(),
    )  # fmt: skip


def _asked(row: OwedRow, today: date) -> Decimal:
    """What somebody is reminded of: not what was released of retainage and is due later."""
    return due_by(row.dues, max(row.due_on, today))


def mail_money(
    parts: Parts, work: Work, kind: str, company_id: str, lot_id: str | None = None, /, **values: Any
) -> int:
    """A letter about what a builder owes, to those of its people who see money; answers how many.

    Whoever turned such letters off gets none, as long as somebody else does. Where that leaves nobody, all
    who see money are written to all the same, and where nobody does, the company's own address is: a debt
    that nobody is told of only grows.
    """
    told = mail_builder(parts, work, kind, company_id, lot_id, **values)
    if told:
        return len(told)
    seeing = [
        person for person in people.persons(work, kind="builder", company_id=company_id)
        if "money" in people.rights_of(person)
    ]  # fmt: skip
    for person in seeing:
        mail(parts, work, kind, person.email, lot_id, name=person.name, **values)
    company = people.company(work, company_id)
    if not seeing and company.email:
        mail(parts, work, kind, company.email, lot_id, name=company.name, **values)
    return len(seeing) or int(bool(company.email))
