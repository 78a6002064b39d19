"""The office has days found for the lots that have none, and books those of them that it picks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from portal.acts import booking
from portal.acts.crew_schedule import hours_of
from portal.acts.editions import days_off, travel_minutes
from portal.acts.parts import Actor, Parts, must_be
from portal.core.crewdays.finding import Found, find
from portal.core.crewdays.hours import Load
from portal.core.crewdays.places import CrewDay, Question, Unbooked
from portal.core.crewdays.told import why_not, why_there
from portal.core.errors import BadInput, NotFound, Overtaken, Refused
from portal.core.pricing.waiting import cost_of_waiting
from portal.core.words import Said, say
from portal.store import crew_days, people, quotes
from portal.store.crew_days import CrewRow
from portal.store.transaction import Work

#: For how many weeks days can be looked for, and for how many they are if nobody says.
WEEKS, USUAL_WEEKS = (1, 2, 3, 4, 6), 3


@dataclass(frozen=True, slots=True)
class Proposal:
    """A day for a lot, with a technician, and why it is this one."""

    row: CrewRow
    technician_id: str
    technician: str
    day: date
    why: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class Proposed:
    """What was found between two days. `best`: there is nothing better, for all ways were gone through."""

    first: date
    weeks: int
    proposals: tuple[Proposal, ...]
    unkept: tuple[tuple[CrewRow, Said], ...]
    best: bool


@dataclass(frozen=True, slots=True)
class Pick:
    """A proposal that is taken: the lot as it was seen, the technician, the day."""

    lot_id: str
    version: int
    technician_id: str
    day: date


@dataclass(frozen=True, slots=True)
class Taken:
    """How many lots were booked, and which were not, with the reason."""

    booked: int
    left: tuple[tuple[str, Said], ...]


def propose(parts: Parts, who: Actor, first: date | None = None, weeks: int = USUAL_WEEKS) -> Proposed:
    """Days for all lots that have none, from tomorrow on where no day is said. Nothing is booked by it."""
    must_be(who, "office")
    first = max(first or parts.today() + timedelta(days=1), parts.today())
    last = first + timedelta(days=7 * weeks - 1)
    with parts.store.reading() as work:
        rows = crew_days.rows(work, first, last)
        question = _question(work, rows, first, last)
        technicians = {person.id: person.name for person in people.persons(work, kind="technician")}
    return _proposed(question, find(question), rows, technicians, first, weeks)


def _question(work: Work, rows: list[CrewRow], first: date, last: date) -> Question:
    firm = quotes.edition_on(work, "firm", first).document
    travel, loads = travel_minutes(firm), crew_days.all_loads(rows)
    hours = hours_of(work, first, last, frozenset(days_off(firm)))
    to_book = [row for row in rows if row.state == "unscheduled"]
    quoted = quotes.accepted_documents(work, [row.lot_id for row in to_book if row.siding_starts])
    lots = [
        Unbooked(
            row.lot_id, row.minutes, row.window, row.subdivision_id or "",
            cost_of_waiting(quoted[row.lot_id]).saving if row.lot_id in quoted else Decimal(0),
        )
        for row in to_book
    ]  # fmt: skip
    days = []
    for day in (first + timedelta(days=n) for n in range((last - first).days + 1)):
        for technician, one in hours.items():
            load = loads.get((technician, day), Load())
            left = one.minutes_on(day) - load.filled(travel)
            days.append(CrewDay(technician, day, left, load.subdivisions, one.minutes_on(day)))
    return Question(tuple(lots), tuple(days), travel)


def _proposed(
    question: Question, found: Found, rows: list[CrewRow], technicians: dict[str, str], first: date,
    weeks: int,
) -> Proposed:  # fmt: skip
    by_lot, names = {row.lot_id: row for row in rows}, {row.lot_id: row.lot for row in rows}
    proposals = tuple(
        Proposal(
            by_lot[lot.key], place.technician, technicians[place.technician], place.day,
            why_there(lot, place, _beside(found, rows, lot, place)),
        )
        for lot, place in found.placed
    )  # fmt: skip
    unkept = tuple((by_lot[lot.key], why_not(question, found, lot, names)) for lot in found.unkept)
    return Proposed(first, weeks, proposals, unkept, found.best)


def _beside(found: Found, rows: list[CrewRow], lot: Unbooked, place: CrewDay) -> list[str]:
    """Names of the other lots of its subdivision that the technician has on that day, new or booked."""
    new = {one.key for one, there in found.placed if there is place} - {lot.key}
    on_that_day = place.technician, place.day
    return [
        row.lot for row in rows
        if lot.group and row.subdivision_id == lot.group
        and (row.lot_id in new or (row.technician_id, row.day) == on_that_day)
    ]  # fmt: skip


def take(parts: Parts, who: Actor, picks: Iterable[Pick]) -> Taken:
    """Book what was picked, lot by lot, by the same rules as any booking.

    Each lot is booked whole or not at all, and what changed in between is said of the lot that it is about.
    What is booked just so already was sent twice, and is left alone.
    """
    must_be(who, "office")
    booked, left = 0, []
    for pick in picks:
        with parts.store.reading() as work:
            row = crew_days.row_of(work, pick.lot_id)
        if row is None:
            left.append((pick.lot_id, say("It is no lot that can be booked.")))
            continue
        why = None if _is_so(row, pick) else _booked(parts, who, pick)
        if why is None:
            booked += 1
        else:
            left.append((f"{row.lot}, {row.house_number} {row.street}", why))
    return Taken(booked, tuple(left))


def _is_so(row: CrewRow, pick: Pick) -> bool:
    return row.state == "booked" and (row.technician_id, row.day) == (pick.technician_id, pick.day)


def _booked(parts: Parts, who: Actor, pick: Pick) -> Said | None:
    """Book one; or why it cannot be."""
    try:
        booking.book(parts, who, pick.lot_id, pick.version, pick.technician_id, pick.day, None, "")
    except BadInput as bad:
        return bad.problems[0].says
    except Refused as refused:
        return refused.says
    except Overtaken as overtaken:
        return say("{name} changed it in the meantime.", name=overtaken.by or say("Somebody else"))
    except NotFound:
        return say("It is not there any more.")
    return None
