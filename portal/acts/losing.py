"""A lost warranty number: asked for by address and month of closing, mailed to the holder on record only."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.parts import SYSTEM, Parts
from portal.acts.slowing import Door
from portal.acts.texts import check, text_problems
from portal.acts.trail import mail, note
from portal.core.cover.months import read_month
from portal.core.cover.places import place_key
from portal.core.errors import BadInput, Problem
from portal.core.words import say
from portal.store import filing, holders
from portal.store.transaction import Work

#: Every try counts, a right one too: it sends somebody a letter.
LOST = Door("lost number", free=3, window=timedelta(days=1), first_wait=timedelta(minutes=15))


@dataclass(frozen=True, slots=True)
class LostTyped:
    """What is known of the house."""

    house_number: str
    street: str
    postal_code: str
    closed_in: str


def ask_lost_number(parts: Parts, typed: LostTyped, address: str) -> None:
    """Ask for a lost number. Nothing is answered but that it was asked: `answer_lost_numbers` looks it up.

    So whoever asks learns nothing, from the words or from the time they take: the same is done for a house
    that was treated and for one that nobody knows.
    """
    closed_in = _read(typed)
    house = place_key(typed.house_number, typed.street, typed.postal_code)
    subjects = f"from {address}", f"house {hashlib.sha256(house.encode()).hexdigest()}"
    with parts.store.writing() as work:
        LOST.check(work, *subjects)
        LOST.add(work, *subjects)
        filing.ask_lost(work, house, closed_in)


def _read(typed: LostTyped) -> date:
    problems: list[Problem] = [
        *text_problems("house_number", typed.house_number, 20, say("Enter the house number.")),
        *text_problems("street", typed.street, 200, say("Enter the street.")),
        *text_problems("postal_code", typed.postal_code, 20, say("Enter the ZIP code.")),
    ]
    try:
        closed_in = read_month(typed.closed_in, "closed_in")
    except BadInput as bad:
        raise BadInput([*problems, *bad.problems]) from None
    check(problems)
    return closed_in


def answer_lost_numbers(parts: Parts) -> int:
    """Mail what was asked for to the holder on record, where there is one; answers how many letters.

    The worker calls this. Whatever is asked for is dropped, answered or not.
    """
    with parts.store.writing() as work:
        return sum(_answer(parts, work, asked) for asked in filing.lost_asked(work))


def _answer(parts: Parts, work: Work, asked: Any) -> int:
    letters = 0
    for warranty in filing.warranties_at(work, asked.place_key):
        holder = holders.holder_now(work, warranty.id)
        if holder is None or not holder.email or holder.since.replace(day=1) != asked.closed_in:
            continue
        said = warranty_document(warranty)
        mail(
            parts, work, "lost_number", holder.email, warranty.lot_id, name=holder.name,
            number=warranty.number, place=said.place, office=said.office, find=parts.links.find_warranty(),
            link=parts.links.warranty(warranty.link_token),
        )  # fmt: skip
        note(work, SYSTEM, "number mailed", warranty.number, warranty.lot_id)
        letters += 1
    filing.drop_lost(work, asked)
    return letters
