"""Writes a calendar as RFC 5545 has it: stops as all-day events. Small, because a stop is nothing more.

Section numbers are those of RFC 5545, Internet Calendaring and Scheduling Core Object Specification.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

#: A line is at most so many octets without its break (3.1).
LONGEST = 75
BREAK = "\r\n"


@dataclass(frozen=True, slots=True)
class Event:
    """A stop on a day. `uid` stays, `sequence` rises with each change (3.8.7.4)."""

    uid: str
    day: date
    summary: str
    location: str
    description: str
    url: str
    sequence: int
    changed_at: datetime
    called_off: bool


@dataclass(frozen=True, slots=True)
class Feed:
    """A whole calendar, and its name (RFC 7986, 5.1)."""

    name: str
    events: tuple[Event, ...]


def written(feed: Feed, made_at: datetime) -> bytes:
    """The calendar's text as it is sent: UTF-8, lines broken and folded."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Sillbook//Crew days//EN",
        "CALSCALE:GREGORIAN",
        f"NAME:{escaped(feed.name)}",
        "REFRESH-INTERVAL;VALUE=DURATION:PT1H",
        *(line for event in feed.events for line in _event(event)),
        *([] if feed.events else _nothing(made_at)),
        "END:VCALENDAR",
    ]
    return "".join(folded(line) + BREAK for line in lines).encode()


def _event(event: Event) -> Iterator[str]:
    stamp = moment(event.changed_at)
    yield "BEGIN:VEVENT"
    yield f"UID:{escaped(event.uid)}"
    # Without a METHOD this is when what is said was last revised (3.8.7.2).
    yield f"DTSTAMP:{stamp}"
    yield f"LAST-MODIFIED:{stamp}"
    yield f"SEQUENCE:{event.sequence}"
    yield f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}"
    # The end is the day after: it is not part of the event (3.6.1).
    yield f"DTEND;VALUE=DATE:{event.day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{escaped(event.summary)}"
    yield f"LOCATION:{escaped(event.location)}"
    yield f"DESCRIPTION:{escaped(event.description)}"
    yield f"URL:{event.url}"
    yield f"STATUS:{'CANCELLED' if event.called_off else 'CONFIRMED'}"
    # A stop fills some hours of its day, and nobody said which.
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _nothing(made_at: datetime) -> Iterable[str]:
    """A calendar has one component at least (3.6). Where there is no stop: that nothing is busy."""
    day = made_at.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    return (
        "BEGIN:VFREEBUSY",
        "UID:nothing-booked",
        f"DTSTAMP:{moment(day)}",
        f"DTSTART:{moment(day)}",
        f"DTEND:{moment(day + timedelta(days=1))}",
        "END:VFREEBUSY",
    )


def moment(at: datetime) -> str:
    """A moment in UTC (3.3.5, form 2)."""
    return f"{at.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def escaped(text: str) -> str:
    """A text value (3.3.11). Other control characters may not stand in one, and are left out."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(c for c in plain if c in "\n\t" or not (ord(c) < 32 or ord(c) == 127))
    for character in "\\;,":
        kept = kept.replace(character, f"\\{character}")
    return kept.replace("\n", "\\n")


def folded(line: str) -> str:
    """A line folded at 75 octets, never within a character (3.1)."""
    pieces, piece, room = [], "", LONGEST
    for character in line:
        size = len(character.encode())
        if size > room:
            pieces.append(piece)
            # The space that begins a folded line counts too.
            piece, room = "", LONGEST - 1
        piece, room = piece + character, room - size
    return f"{BREAK} ".join([*pieces, piece])
