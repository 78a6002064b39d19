"""Agreements on prices: made and ended by an owner, never edited, shown to the office."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.texts import MISSING, check, text_problems
from portal.acts.trail import note, once
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.pricing.agreement import Agreement, read_prices, winning
from portal.core.words import say
from portal.store import agreements, lots, owed, people
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class AgreementAsked:
    """What an owner enters. `subdivision` is empty for all lots; `document` is `bands` or `percent`."""

    company_id: str
    subdivision: str
    first_day: date | None
    last_day: date | None
    document: dict[str, Any]
    note: str = ""


@dataclass(frozen=True, slots=True)
class AgreementView:
    """An agreement in the office. `state` is of today: to come, in force, superseded or over."""

    id: str
    agreed: Agreement
    company: str
    state: str
    note: str
    made_by: str
    ended_by: str
    reason: str


def agree(parts: Parts, who: Actor, asked: AgreementAsked, once_key: str) -> str:
    """Enter an agreement; answers its number. It holds for what is sent from its first day on."""
    must_be_owner(who)
    _check(parts, asked)

    def do(work: Work) -> dict[str, Any]:
        try:
            company = people.company(work, asked.company_id)
        except NotFound:
            raise BadInput([Problem("company", say("Choose a builder."))]) from None
        named = asked.subdivision.strip()
        subdivision = lots.subdivision_named(work, company.id, named) if named else None
        row = agreements.add(
            work, number=owed.next_number(work, "A", parts.today().year), company_id=company.id,
            subdivision_id=subdivision.id if subdivision else None, first_day=asked.first_day,
            last_day=asked.last_day, document=asked.document, note=asked.note.strip(), made_by=who.name,
        )  # fmt: skip
        note(work, who, "agreement", row.number)
        return {"number": row.number}

    return str(once(parts, who, "agreement", once_key, do, asdict(asked))["number"])


def _check(parts: Parts, asked: AgreementAsked) -> None:
    problems = text_problems("subdivision", asked.subdivision, 200) + text_problems("note", asked.note, 2000)
    first, last = asked.first_day, asked.last_day
    if first is None:
        problems.append(Problem("first_day", MISSING))
    elif first < parts.today():
        problems.append(Problem("first_day", say(
            "An agreement begins today or later: quotes already sent keep their prices."
        )))  # fmt: skip
    elif last is not None and last < first:
        problems.append(Problem("last_day", say("The last day is before the first.")))
    try:
        read_prices(asked.document)
    except BadInput as bad:
        problems += bad.problems
    check(problems)


def end(parts: Parts, who: Actor, agreement_id: str, last_day: date | None, reason: str) -> None:
    """Bring an agreement to its end. A last day before its first takes it back before it begins."""
    must_be_owner(who)
    missing = [Problem("last_day", MISSING)] if last_day is None else []
    check(missing, text_problems("reason", reason, 500, MISSING))
    assert last_day is not None
    with parts.store.writing() as work:
        row = agreements.agreement(work, agreement_id)
        if row.end is not None:
            raise refuse("{number} is ended already.", number=row.number)
        if last_day < parts.today():
            says = say("It ends today or later: quotes already sent keep their prices.")
            raise BadInput([Problem("last_day", says)])
        if row.last_day is not None and last_day >= row.last_day:
            says = say("It ends on {day} as it is.", day=row.last_day)
            raise BadInput([Problem("last_day", says)])
        agreements.end(work, row, last_day, reason.strip(), who.name)
        note(work, who, "agreement ended", row.number, reason=reason.strip(), day=last_day.isoformat())


def list_agreements(parts: Parts, who: Actor) -> tuple[AgreementView, ...]:
    """All of them, newest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        rows = agreements.everyone(work)
        every = [agreements.agreed(row) for row in rows]
        return tuple(
            _view(row, agreed, every, parts.today()) for row, agreed in zip(rows, every, strict=True)
        )


def one_agreement(parts: Parts, who: Actor, agreement_id: str) -> AgreementView:
    """One of them. Raises `NotFound`."""
    found = next((one for one in list_agreements(parts, who) if one.id == agreement_id), None)
    if found is None:
        raise NotFound("agreement", agreement_id)
    return found


def _view(row: Any, agreed: Agreement, every: list[Agreement], today: date) -> AgreementView:
    return AgreementView(
        row.id, agreed, row.company.name, _state(agreed, every, today), row.note, row.made_by,
        row.end.ended_by if row.end else "", row.end.reason if row.end else "",
    )  # fmt: skip


def _state(agreed: Agreement, every: list[Agreement], today: date) -> str:
    if agreed.last_day is not None and agreed.last_day < max(today, agreed.first_day):
        return "over"
    if agreed.first_day > today:
        return "to come"
    alike = [one for one in every if one.subdivision_id == agreed.subdivision_id]
    return (
        "in force"
        if winning(alike, agreed.company_id, agreed.subdivision_id, today) == agreed
        else "superseded"
    )
