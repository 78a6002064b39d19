"""A person's calendar of stops: its private address, made and renewed, and what stands in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.purchasing import hashed
from portal.acts.trail import note
from portal.core.errors import NotFound
from portal.store import calendars
from portal.store.calendars import CalendarRow

__all__ = ["Calendar", "CalendarRow", "calendar", "made_at", "renew"]

#: Stops that are over stay so long, and those called off so long after that.
PAST_DAYS, CALLED_OFF_DAYS = 60, 30


@dataclass(frozen=True, slots=True)
class Calendar:
    """What a calendar says to whom: `kind` is the reader's. `domain` makes the stops' names whole."""

    kind: str
    name: str
    company: str
    domain: str
    now: datetime
    stops: tuple[CalendarRow, ...]


def renew(parts: Parts, who: Actor) -> str:
    """Make the address of one's own calendar, shown this once. One made before opens nothing any more."""
    must_be(who, "builder", "technician")
    assert who.person_id
    token = parts.luck.token()
    with parts.store.writing() as work:
        calendars.keep_address(work, who.person_id, hashed(token))
        note(work, who, "calendar address", who.name)
    return parts.links.calendar(token)


def made_at(parts: Parts, who: Actor) -> datetime | None:
    """When one's own address was made; None where there is none yet."""
    must_be(who, "builder", "technician")
    assert who.person_id
    with parts.store.reading() as work:
        return calendars.address_made(work, who.person_id)


def calendar(parts: Parts, token: str) -> Calendar:
    """What an address opens: a technician's own stops, or those of a builder's company. Raises `NotFound`."""
    with parts.store.reading() as work:
        person = calendars.reader(work, hashed(token))
        if person is None:
            raise NotFound("calendar")
        reader_id = person.company_id if person.kind == "builder" else person.id
        since = parts.today() - timedelta(days=PAST_DAYS)
        called_off_since = work.now - timedelta(days=CALLED_OFF_DAYS)
        found = calendars.stops(work, reader_id or "", since, called_off_since)
        company = person.company.name if person.company else ""
        return Calendar(person.kind, person.name, company, parts.mail_domain, work.now, tuple(found))
