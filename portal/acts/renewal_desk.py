"""Renewals in the office: the list, an answer entered for a holder, and the look at the house."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.holder_told import mail_holder
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.renewing import RenewalView, bill_term, move_on, take_answer, view_of, views_of
from portal.acts.texts import check, text_problems
from portal.acts.trail import note
from portal.core.errors import Problem, refuse
from portal.core.words import say
from portal.store import lots, renewals, warranties
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class LookedTyped:
    """What the office enters of a look at a house: the day and who, then what was found and whether good."""

    day: date | None
    person: str
    words: str = ""
    good: str = ""


def listed(parts: Parts, who: Actor, *, over: bool = False) -> list[RenewalView]:
    """Those under way, by the day the term ends; or those that are over, the newest."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return views_of(parts, work, renewals.listed(work, over=over))


def count_open(parts: Parts, who: Actor) -> int:
    """How many renewals are under way."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return renewals.count_open(work)


def renewal(parts: Parts, who: Actor, renewal_id: str) -> RenewalView:
    """One of them. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return view_of(parts, work, renewals.renewal(work, renewal_id))


def answer_for(parts: Parts, who: Actor, renewal_id: str, yes: bool) -> None:
    """The office enters the holder's answer, as it was given to it."""
    must_be(who, "office")
    with parts.store.writing() as work:
        take_answer(parts, work, who, _held(work, renewal_id), yes)


def _held(work: Work, renewal_id: str) -> Any:
    lots.locked(work, renewals.renewal(work, renewal_id).lot_id)
    return renewals.renewal(work, renewal_id)


def book_look(parts: Parts, who: Actor, renewal_id: str, typed: LookedTyped) -> None:
    """Book the day on which somebody looks at the house; a day may be booked anew."""
    must_be(who, "office")
    problems = _who_and_when(typed)
    if typed.day is not None and typed.day < parts.today():
        problems.append(Problem("day", say("This day is over.")))
    check(problems)
    with parts.store.writing() as work:
        row = _to_be_looked_at(work, renewal_id)
        row.looks_on, row.looked_by = typed.day, typed.person.strip()
        warranty = warranties.warranty(work, row.warranty_id)
        note(work, who, "renewal look booked", warranty.number, row.lot_id, day=row.looks_on.isoformat())
        mail_holder(parts, work, "renewal_look", warranty, day=row.looks_on, person=row.looked_by)


def looked_at(parts: Parts, who: Actor, renewal_id: str, typed: LookedTyped) -> None:
    """Write down what was found at the house: good, and it is billed; not, and it ends there."""
    must_be(who, "office")
    problems = _who_and_when(typed)
    if typed.day is not None and typed.day > parts.today():
        problems.append(Problem("day", say("This day is still to come.")))
    if typed.good not in ("yes", "no"):
        problems.append(Problem("good", say("Choose whether the next term can begin.")))
    problems += text_problems("words", typed.words, 4000, say("Write what was found: the holder reads it."))
    check(problems)
    with parts.store.writing() as work:
        row = _to_be_looked_at(work, renewal_id)
        warranty = warranties.warranty(work, row.warranty_id)
        row.looks_on, row.looked_by, row.found = typed.day, typed.person.strip(), typed.words.strip()
        if typed.good == "no":
            move_on(work, who, row, "failed", reason=row.found)
            mail_holder(parts, work, "renewal_failed", warranty, ended_on=row.ended_on, reason=row.found)
            return
        note(work, who, "renewal looked at", warranty.number, row.lot_id)
        bill_term(parts, work, who, row, warranty)


def _who_and_when(typed: LookedTyped) -> list[Problem]:
    problems = text_problems("person", typed.person, 200, say("Enter who."))
    if typed.day is None:
        problems.append(Problem("day", say("Enter the day.")))
    return problems


def _to_be_looked_at(work: Work, renewal_id: str) -> Any:
    row = _held(work, renewal_id)
    if warranties.warranty(work, row.warranty_id).state == "void":
        raise refuse("The warranty is void: it is not renewed.")
    if row.state != "accepted":
        raise refuse("This renewal is {state}: there is nothing to look at.", state=row.state)
    return row
