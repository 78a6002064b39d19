"""What an owner enters of chasing, in editions: the steps of reminders, and interest on what is paid late."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.editions import EditionView, days_off, view
from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.trail import note, once
from portal.core.errors import BadInput, Problem
from portal.core.money.chasing import Calendar, Chasing, read_chasing
from portal.core.money.interest import InterestTerms
from portal.core.words import say
from portal.store import chasing as rows
from portal.store import quotes
from portal.store.transaction import Work

KIND = "chasing"


@dataclass(frozen=True, slots=True)
class ChaseTerms:
    """An edition, and what it says."""

    edition: EditionView
    says: Chasing


def chasing_on(work: Work, day: date) -> Chasing:
    """What is chased by on a day: by nothing, and without interest, where the office has entered nothing."""
    edition = rows.edition_on(work, day)
    return read_chasing(edition.document) if edition else Chasing()


def calendar_on(work: Work, day: date) -> Calendar:
    """The steps on a day, on the office's own calendar."""
    firm = quotes.edition_on(work, "firm", day).document
    return Calendar(chasing_on(work, day).steps, frozenset(days_off(firm)))


def interest_on(work: Work, day: date) -> InterestTerms | None:
    """What an invoice of a day says of interest, if anything."""
    return chasing_on(work, day).interest


def chase_terms(parts: Parts, who: Actor) -> list[ChaseTerms]:
    """Every edition, newest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return [ChaseTerms(view(e), read_chasing(e.document)) for e in quotes.editions(work, KIND)]


def enter_chase_terms(
    parts: Parts, who: Actor, first_day: date, document: dict[str, Any], once_key: str
) -> int:
    """A new edition; answers its number.

    Its steps hold for every open invoice from its first day on; what it says of interest holds for invoices
    issued from that day on, on which it stands.
    """
    must_be_owner(who)
    read_chasing(document)

    def do(work: Work) -> dict[str, Any]:
        if first_day < parts.today():
            too_early = say("An edition begins today or later: invoices already issued keep their terms.")
            raise BadInput([Problem("first_day", too_early)])
        edition = quotes.add_edition(work, KIND, first_day, document, who.name)
        note(work, who, "edition", f"{KIND} {edition.number}")
        return {"number": edition.number}

    said = {"first_day": first_day, "document": document}
    return int(once(parts, who, f"edition {KIND}", once_key, do, said)["number"])
