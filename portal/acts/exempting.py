"""Builders' exemptions from tax: certificates with a number and a last day, as the office entered them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import MISSING, check, text_problems
from portal.acts.trail import note, once
from portal.core.errors import Problem, refuse
from portal.core.words import say
from portal.store import people, taxes
from portal.store.transaction import Work

#: So many days before its last day the office is told, to ask for the next one. Common practice, no source.
TOLD_BEFORE = timedelta(days=30)


@dataclass(frozen=True, slots=True)
class ExemptionView:
    """A certificate. `state` is covers, to come, over or withdrawn; no jurisdiction: it holds in all."""

    id: str
    number: str
    jurisdiction: str
    first_day: date
    last_day: date
    state: str
    entered_by: str


@dataclass(frozen=True, slots=True)
class ExemptionsOf:
    """A builder's exemptions, and the jurisdictions to choose from: id, name."""

    company_id: str
    company: str
    exemptions: tuple[ExemptionView, ...]
    jurisdictions: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class RunningOut:
    """An exemption that ends soon, and that no other follows."""

    company_id: str
    company: str
    number: str
    last_day: date


def exemptions_of(parts: Parts, who: Actor, company_id: str) -> ExemptionsOf:
    """What was entered of a builder."""
    must_be(who, "office")
    with parts.store.reading() as work:
        company = people.company(work, company_id)
        found = tuple(_view(row, parts.today()) for row in taxes.exemptions(work, company_id))
        named = tuple((row.id, row.name) for row in taxes.jurisdictions(work))
        return ExemptionsOf(company.id, company.name, found, named)


def _view(row: Any, today: date) -> ExemptionView:
    state = "covers"
    if row.withdrawn_at is not None:
        state = "withdrawn"
    elif row.last_day < today:
        state = "over"
    elif row.first_day > today:
        state = "to come"
    where = row.jurisdiction.name if row.jurisdiction else ""
    return ExemptionView(row.id, row.number, where, row.first_day, row.last_day, state, row.entered_by)


@dataclass(frozen=True, slots=True)
class Certificate:
    """What is entered of one."""

    number: str
    jurisdiction_id: str
    first_day: date | None
    last_day: date | None


def exempt(parts: Parts, who: Actor, company_id: str, entered: Certificate, once_key: str) -> None:
    """Enter a builder's certificate: on the days it covers, quotes and invoices to it have no tax."""
    must_be(who, "office")
    number = " ".join(entered.number.split())
    check(text_problems("number", number, 60, MISSING), _problems_of_days(entered))

    def do(work: Work) -> dict[str, Any]:
        company = people.locked_company(work, company_id)
        where = taxes.jurisdiction(work, entered.jurisdiction_id) if entered.jurisdiction_id else None
        taxes.add_exemption(
            work, company_id=company.id, jurisdiction_id=where.id if where else None, number=number,
            first_day=entered.first_day, last_day=entered.last_day, entered_by=who.name,
        )  # fmt: skip
        note(work, who, "exemption", company.name, number=number, last_day=str(entered.last_day))
        return {}

    said = (number, entered.jurisdiction_id, entered.first_day, entered.last_day)
    once(parts, who, f"exempt {company_id}", once_key, do, said)


def _problems_of_days(entered: Certificate) -> list[Problem]:
    found = [
        Problem(at, say("Enter the day, as it stands on the certificate."))
        for at, day in (("first_day", entered.first_day), ("last_day", entered.last_day))
        if day is None
    ]
    if entered.first_day and entered.last_day and entered.last_day < entered.first_day:
        found.append(Problem("last_day", say("The last day comes before the first.")))
    return found


def withdraw(parts: Parts, who: Actor, company_id: str, exemption_id: str) -> None:
    """Let an exemption cover no day any more. Papers that were sent keep what they say."""
    must_be(who, "office")
    with parts.store.writing() as work:
        company = people.locked_company(work, company_id)
        row = taxes.exemption(work, company.id, exemption_id)
        if row.withdrawn_at is not None:
            raise refuse("This exemption is withdrawn already.")
        row.withdrawn_by, row.withdrawn_at = who.name, work.now
        note(work, who, "exemption withdrawn", company.name, number=row.number)


def running_out(work: Work, today: date) -> tuple[RunningOut, ...]:
    """Exemptions that end within the days in which the office is told."""
    return tuple(RunningOut(*row) for row in taxes.running_out(work, today, today + TOLD_BEFORE))
