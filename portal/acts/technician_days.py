"""When a technician is at work: the hours of a usual week, and days off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import note
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.words import say
from portal.store import crew_days, people
from portal.store.transaction import Work

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
#: More days off entered at once would be somebody who left.
MOST_DAYS = 62


@dataclass(frozen=True, slots=True)
class OffRow:
    """A day off."""

    day: date
    words: str


@dataclass(frozen=True, slots=True)
class TechnicianDays:
    """A technician's usual week in minutes, Monday first, and the days off still to come."""

    id: str
    name: str
    week: tuple[int, ...]
    off: tuple[OffRow, ...]


def technician_days(parts: Parts, who: Actor, person_id: str) -> TechnicianDays:
    """A technician's week and days off. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        person = _technician(work, person_id)
        off = [d for d in crew_days.days_off(work, parts.today()) if d.person_id == person.id]
        week = crew_days.week_of(work, person.id)
        return TechnicianDays(person.id, person.name, week, tuple(OffRow(d.day, d.words) for d in off))


def _technician(work: Work, person_id: str) -> Any:
    person = people.person(work, person_id)
    if person.kind != "technician":
        raise NotFound("technician", person_id)
    return person


def set_week(parts: Parts, who: Actor, person_id: str, hours: Sequence[str]) -> None:
    """Keep the hours of a usual week, Monday first, as they are typed: 8, 7.5, nothing. Raises `BadInput`."""
    must_be(who, "office")
    found: list[Problem] = []
    minutes = [_minutes(text, at, found) for at, text in zip(DAYS, hours, strict=True)]
    if found:
        raise BadInput(found)
    with parts.store.writing() as work:
        person = _technician(work, person_id)
        crew_days.keep_week(work, person.id, minutes)
        note(work, who, "week", person.name, minutes=minutes)


def _minutes(text: str, at: str, found: list[Problem]) -> int:
    try:
        hours = Decimal(text.strip() or "0")
    except InvalidOperation:
        hours = Decimal("NaN")
    if not hours.is_finite() or not 0 <= hours <= 24 or hours * 60 != (hours * 60).to_integral_value():
        says = say("“{read}” is no number of hours: write 8 or 7.5, from 0 to 24.", read=text.strip()[:20])
        found.append(Problem(at, says))
        return 0
    return int(hours * 60)


def add_days_off(
    parts: Parts, who: Actor, person_id: str, first: date | None, last: date | None, words: str
) -> int:  # fmt: skip
    """Keep days off, from one day to another or one alone; answers how many stops are booked on them."""
    must_be(who, "office")
    check(_of_days(parts, first, last), text_problems("words", words, 200))
    assert first is not None
    with parts.store.writing() as work:
        person = _technician(work, person_id)
        days = [first + timedelta(days=n) for n in range(((last or first) - first).days + 1)]
        for day in days:
            crew_days.keep_day_off(work, person.id, day, words.strip())
        note(
            work, who, "day off", person.name, day=first.isoformat(), last=(last or first).isoformat(),
            reason=words.strip(),
        )  # fmt: skip
        return sum(crew_days.load(work, person.id, day).stops for day in days)


def _of_days(parts: Parts, first: date | None, last: date | None) -> list[Problem]:
    if first is None:
        return [Problem("first", say("Choose a day."))]
    if first < parts.today():
        return [Problem("first", say("{day} is over. Choose today or a later day.", day=first))]
    if last is not None and last < first:
        return [Problem("last", say("The last day comes before the first."))]
    if ((last or first) - first).days >= MOST_DAYS:
        return [Problem("last", say("At most {most} days at once.", most=MOST_DAYS))]
    return []


def drop_day_off(parts: Parts, who: Actor, person_id: str, day: date) -> None:
    """Take a day off back; taken back twice it is once."""
    must_be(who, "office")
    with parts.store.writing() as work:
        person = _technician(work, person_id)
        if crew_days.drop_day_off(work, person.id, day):
            note(work, who, "day off taken back", person.name, day=day.isoformat())
