"""The calendar's text, read back by a parser that nobody here made, and by the letter of RFC 5545.

Sections named are those of RFC 5545, Internet Calendaring and Scheduling Core Object Specification (2009).
The reader is `icalendar`, a package of the registry.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.crewdays.ical import Event, Feed, escaped, folded, written

NOW = datetime(2027, 5, 4, 13, 0, 7, tzinfo=UTC)
#: What a text value may hold: no control character but the break of a line (3.3.11, CONTROL in 3.1).
TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.just("\n"), max_size=300)


def event(**changes: object) -> Event:
    known: dict[str, object] = {
        "uid": "j1-stop@example.com", "day": date(2027, 5, 10), "summary": "Treat Lot 7",
        "location": "107 Lime Kiln Lane, Marlow Ferry, IA 52999", "description": "J-2027-0001\nGate; code",
        "url": "https://portal.example.com/stops/j1", "sequence": 2, "changed_at": NOW, "called_off": False,
    }  # fmt: skip
    return Event(**known | changes)  # type: ignore[arg-type]


def read(feed: Feed) -> icalendar.Calendar:
    found = icalendar.Calendar.from_ical(written(feed, NOW))
    assert isinstance(found, icalendar.Calendar)
    return found


def test_a_stop_is_read_back_as_it_was_written() -> None:
    found = read(Feed("Stops of Wendell", (event(),)))

    (one,) = found.walk("VEVENT")
    assert found["VERSION"] == "2.0" and found["PRODID"] and found["NAME"] == "Stops of Wendell"
    assert (one["UID"], one["SEQUENCE"], one["STATUS"]) == ("j1-stop@example.com", 2, "CONFIRMED")
    # A date without a time, and the day after as its end, which is not part of it (3.6.1).
    assert one["DTSTART"].dt == date(2027, 5, 10) and one["DTEND"].dt == date(2027, 5, 11)
    assert one["DTSTART"].params["VALUE"] == "DATE"
    assert one["DTSTAMP"].dt == one["LAST-MODIFIED"].dt == NOW
    assert one["SUMMARY"] == "Treat Lot 7" and one["DESCRIPTION"] == "J-2027-0001\nGate; code"
    assert one["LOCATION"] == "107 Lime Kiln Lane, Marlow Ferry, IA 52999"
    assert one["URL"] == "https://portal.example.com/stops/j1"


def test_what_is_called_off_says_so() -> None:
    (one,) = read(Feed("x", (event(called_off=True),))).walk("VEVENT")

    assert one["STATUS"] == "CANCELLED"


@given(TEXTS, TEXTS)
def test_any_words_come_back_whole(summary: str, description: str) -> None:
    (one,) = read(Feed("x", (event(summary=summary, description=description),))).walk("VEVENT")

    assert str(one["SUMMARY"]) == summary and str(one["DESCRIPTION"]) == description


@given(TEXTS)
def test_lines_end_in_crlf_and_have_75_octets_at_most(words: str) -> None:
    # 3.1: delimited by CRLF, SHOULD NOT be longer than 75 octets, excluding the line break.
    text = written(Feed("x", (event(description=words),)), NOW)
    lines = text.split(b"\r\n")

    assert lines[-1] == b"" and max(map(len, lines)) <= 75
    assert b"\n" not in b"".join(lines) and b"\r" not in b"".join(lines)
    for line in lines:
        line.decode()  # no fold falls into a character


def test_a_long_line_is_folded_as_the_standard_shows() -> None:
    # 3.1: a fold is a CRLF and one white-space character; unfolding takes both away again.
    line = "DESCRIPTION:" + "This is a long description that exists on a long line. " * 3

    assert folded(line).replace("\r\n ", "") == line
    assert [len(part) for part in folded(line).split("\r\n")] == [75, 75, 29]


def test_the_standards_own_example_of_a_text_is_escaped_so() -> None:
    # 3.3.11, the example of a multi-line text.
    plain = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."

    assert escaped(plain) == r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped("a\\b;c,d") == r"a\\b\;c\,d"


@pytest.mark.parametrize("control", ["\x00", "\x07", "\x1b", "\x7f"])
def test_a_control_character_does_not_stand_in_a_calendar(control: str) -> None:
    assert control.encode() not in written(Feed(f"a{control}b", (event(summary=f"c{control}d"),)), NOW)


def test_a_calendar_without_a_stop_still_has_a_component() -> None:
    # 3.6: an object has one or more components.
    found = read(Feed("x", ()))

    assert [one.name for one in found.subcomponents] == ["VFREEBUSY"]
    (nothing,) = found.subcomponents
    assert nothing["DTEND"].dt - nothing["DTSTART"].dt == timedelta(days=1) and "FREEBUSY" not in nothing
