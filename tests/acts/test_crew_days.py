"""Crew days: what a booking is refused or asked a reason for, technicians' days, windows, calendars."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest

from portal.acts import booking, calendars, colleagues, crew_schedule, outbox, technician_days
from portal.acts.frame_days import give_frame_days
from portal.core.crewdays.ical import Event, Feed, written
from portal.core.errors import NotFound, Overtaken
from tests.parts.house import FIRM, House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

TODAY, LATER, SATURDAY = date(2027, 5, 4), date(2027, 5, 10), date(2027, 5, 8)


def off(house: House, first: date, last: date | None = None) -> int:
    person = house.technician.person_id or ""
    return technician_days.add_days_off(house.parts, house.office, person, first, last, "Away")


def stops(house: House, person: str = "technician") -> dict[str, tuple[date, int, bool]]:
    """What a person's calendar shows: day, sequence and whether it is called off, by lot."""
    address = calendars.renew(house.parts, getattr(house, person))
    found = calendars.calendar(house.parts, address.rpartition("/")[2].removesuffix(".ics"))
    return {stop.lot: (stop.day, stop.sequence, stop.called_off) for stop in found.stops}


# Booking.


def test_over_a_technicians_hours_takes_a_reason_that_stays_in_the_history(lite: House) -> None:
    lite.booked()
    lite.booked()
    third = lite.accepted()

    found = problems(lambda: lite.book(third, TODAY))
    assert list(found) == ["reason"] and "Wendell Pike works 8 h" in found["reason"]
    lite.book(third, TODAY, reason="He agreed to stay.")

    assert lite.sheet(third).history[0].details["reason"] == "He agreed to stay."


def test_the_other_technician_has_hours_of_their_own(lite: House) -> None:
    lite.booked()
    lite.booked()

    lite.book(lite.accepted(), TODAY, technician_id=lite.second_technician.person_id)


def test_the_way_to_a_stop_counts_as_the_firm_enters_it(lite: House) -> None:
    lite.booked()
    second = lite.accepted(subdivision="Kiln Field")
    lite.enter("firm", FIRM | {"travel_minutes": 120})

    assert "Wendell Pike works 8 h" in problems(lambda: lite.book(second, TODAY))["reason"]
    lite.enter("firm", FIRM | {"travel_minutes": 0})
    lite.book(second, TODAY)


@pytest.mark.parametrize("minutes", [-1, 241, "soon"])
def test_a_way_that_is_none_is_not_entered(lite: House, minutes: object) -> None:
    found = problems(lambda: lite.enter("firm", FIRM | {"travel_minutes": minutes}))

    assert list(found) == ["travel_minutes"]


def test_on_a_day_off_of_the_office_a_reason_is_asked_for(lite: House) -> None:
    lite.enter("firm", FIRM | {"days_off": ["2027-05-10"]})
    lot = lite.accepted()

    assert "office’s days off" in problems(lambda: lite.book(lot, LATER))["reason"]
    lite.book(lot, LATER, reason="Nobody else is on site then.")


def test_on_a_day_off_no_reason_helps(lite: House) -> None:
    off(lite, LATER)
    lot = lite.accepted()

    found = problems(lambda: lite.book(lot, LATER, reason="All the same."))

    assert found == {"day": "Wendell Pike is off on 2027-05-10. Choose another day or technician."}
    lite.book(lot, LATER, technician_id=lite.second_technician.person_id)


def test_a_saturday_takes_a_reason_until_it_is_in_the_week(lite: House) -> None:
    lot, person = lite.accepted(), lite.technician.person_id or ""

    assert list(problems(lambda: lite.book(lot, SATURDAY))) == ["reason"]
    technician_days.set_week(lite.parts, lite.office, person, ["8", "8", "8", "8", "", "6.5", ""])
    lite.book(lot, SATURDAY)

    week = technician_days.technician_days(lite.parts, lite.office, person).week
    assert week == (480, 480, 480, 480, 0, 390, 0)


def test_before_framing_is_done_takes_a_reason(lite: House) -> None:
    lot = lite.accepted(framing_done=LATER)

    assert "Framing is done on 2027-05-10" in problems(lambda: lite.book(lot, date(2027, 5, 7)))["reason"]
    lite.book(lot, LATER)


def test_the_same_twice_is_refused(lite: House) -> None:
    lot = lite.booked()

    assert problems(lambda: lite.book(lot, TODAY)) == {
        "day": "It is booked for 2027-05-04 with Wendell Pike already."
    }


@pytest.mark.parametrize(
    ("kind", "reason", "wrong"),
    [("", "", "kind"), ("nonsense", "", "kind"), ("other", " ", "reason")],
)
def test_a_move_says_why(lite: House, kind: str, reason: str, wrong: str) -> None:
    lot = lite.booked()

    assert list(problems(lambda: lite.book(lot, LATER, kind=kind, reason=reason))) == [wrong]
    assert lite.sheet(lot).job.day == TODAY  # type: ignore[union-attr]


@pytest.mark.parametrize("kind", ["weather", "not ready", "builder", "crew"])
def test_why_it_was_moved_stands_in_the_history_and_in_the_builders_letter(house: House, kind: str) -> None:
    lot = house.booked()

    house.book(lot, LATER, kind=kind)

    details = house.sheet(lot).history[0].details
    assert (details["kind"], details["day"]) == (kind, LATER.isoformat())
    letters = outbox.letters(replace(house.parts, demo=True))
    told = [one.text for one in letters if one.to == house.builder.email and one.subject == "booked"]
    assert sum(f"kind: {kind}" in text and "moved: True" in text for text in told) == 1


def test_a_calling_off_says_why(lite: House) -> None:
    lot = lite.booked()

    def call_off(kind: str, reason: str = "") -> None:
        booking.call_off(lite.parts, lite.office, lot, lite.version(lot), reason, kind)

    assert list(problems(lambda: call_off("hunger"))) == ["kind"]
    assert list(problems(lambda: call_off("other"))) == ["reason"]
    call_off("not ready")
    assert lite.sheet(lot).history[0].details == {"kind": "not ready", "reason": ""}


# Technicians' days.


def test_days_off_are_kept_counted_and_taken_back(lite: House) -> None:
    lite.booked(day=LATER)
    person = lite.technician.person_id or ""

    assert off(lite, LATER - timedelta(days=3), LATER) == 1
    found = technician_days.technician_days(lite.parts, lite.office, person)
    assert [(row.day.day, row.words) for row in found.off] == [(d, "Away") for d in (7, 8, 9, 10)]
    for _twice in range(2):
        technician_days.drop_day_off(lite.parts, lite.office, person, LATER)
    assert len(technician_days.technician_days(lite.parts, lite.office, person).off) == 3


@pytest.mark.parametrize(
    ("first", "last", "wrong"),
    [
        (None, None, "first"), (TODAY - timedelta(1), None, "first"), (LATER, TODAY, "last"),
        (TODAY, TODAY + timedelta(62), "last"),
    ],
)  # fmt: skip
def test_days_off_that_cannot_be(lite: House, first: date | None, last: date | None, wrong: str) -> None:
    assert list(problems(lambda: off(lite, first, last))) == [wrong]  # type: ignore[arg-type]


@pytest.mark.parametrize("typed", ["x", "-1", "24.5", "NaN", "1e9", "0.001", "Infinity"])
def test_hours_that_are_none(lite: House, typed: str) -> None:
    week = ["8", typed, "", "", "", "", ""]
    person = lite.technician.person_id or ""

    found = problems(lambda: technician_days.set_week(lite.parts, lite.office, person, week))

    assert list(found) == ["tuesday"]


def test_an_office_person_has_no_week(lite: House) -> None:
    with pytest.raises(NotFound):
        technician_days.technician_days(lite.parts, lite.office, lite.office.person_id or "")


# The schedule.


def test_whose_window_shuts_first_stands_on_top(lite: House) -> None:
    lite.accepted(name="open end")
    lite.accepted(name="late", insulation_starts=date(2027, 6, 1))
    lite.booked(name="soon", insulation_starts=date(2027, 5, 12))
    lite.accepted(name="siding", siding_starts=date(2027, 5, 20), insulation_starts=date(2027, 6, 1))

    found = crew_schedule.schedule(lite.parts, lite.office)

    assert [row.lot for row in found.rows] == ["soon", "siding", "late", "open end"]
    assert found.first == date(2027, 5, 3) and len(found.days) == 21


def test_hours_are_the_estimates_minutes_and_the_way(lite: House) -> None:
    lot = lite.booked()
    off(lite, LATER)

    found = crew_schedule.schedule(lite.parts, lite.office)

    line = next(one for one in found.technicians if one.name == "Wendell Pike")
    today = line.days[1]
    elapsed = float(lite.sheet(lot).takeoff.estimate["minutes"]["elapsed"])
    assert today.day == TODAY and elapsed + 30 <= today.filled < elapsed + 31
    assert (today.at_work, today.stops, today.over) == (480, 1, 0)
    assert line.days[7].off and line.days[7].at_work == 0 and line.days[7].words == "Away"


def test_a_treated_lot_still_fills_its_day_and_a_later_booking_waits_for_its_weeks(lite: House) -> None:
    lite.treated(name="done")
    lite.booked(name="june", day=date(2027, 6, 15))

    now = crew_schedule.schedule(lite.parts, lite.office)
    june = crew_schedule.schedule(lite.parts, lite.office, date(2027, 6, 15))

    assert [row.lot for row in now.rows] == ["done"] and [row.lot for row in june.rows] == ["june"]
    assert june.first == date(2027, 6, 14)


# The window, given later.


def test_the_days_of_the_frame_can_be_given_until_it_is_treated(lite: House) -> None:
    lot = lite.booked()

    give_frame_days(lite.parts, lite.builder, lot, lite.version(lot), TODAY, LATER)
    give_frame_days(lite.parts, lite.builder, lot, 0, TODAY, LATER)  # the same twice is once

    sheet = lite.sheet(lot)
    assert (sheet.framing_done, sheet.insulation_starts) == (TODAY, LATER)
    assert lite.verbs(lot).count("frame days") == 1
    assert ("frame_days", lite.office.email) in lite.letters()
    lite.treated(lot)
    said = refusal(lambda: give_frame_days(lite.parts, lite.builder, lot, lite.version(lot), None, None))
    assert said.startswith("The lot is treated")


def test_a_frame_that_closes_before_it_stands_is_refused(lite: House) -> None:
    lot = lite.asked()

    def give(framing: date | None, insulation: date | None) -> None:
        give_frame_days(lite.parts, lite.builder, lot, lite.version(lot), framing, insulation)

    assert list(problems(lambda: give(LATER, LATER))) == ["insulation_starts"]
    assert list(problems(lambda: give(date(2037, 1, 1), None))) == ["framing_done"]
    with pytest.raises(NotFound):
        give_frame_days(lite.parts, lite.rival, lot, lite.version(lot), TODAY, None)
    with pytest.raises(Overtaken):
        give_frame_days(lite.parts, lite.builder, lot, 0, TODAY, None)


# Calendars.


def test_a_stop_that_moves_keeps_its_place_in_the_calendar_with_a_rising_sequence(lite: House) -> None:
    lot = lite.booked(name="Lot 7")
    assert stops(lite) == stops(lite, "builder") == {"Lot 7": (TODAY, 0, False)}

    lite.book(lot, LATER)

    assert stops(lite) == stops(lite, "builder") == {"Lot 7": (LATER, 1, False)}
    booking.call_off(lite.parts, lite.office, lot, lite.version(lot), "", "weather")
    assert stops(lite) == {"Lot 7": (LATER, 2, True)}
    lite.clock.pass_by(days=31)
    assert stops(lite) == stops(lite, "builder") == {}


def test_who_loses_a_stop_sees_it_called_off_and_the_builder_sees_it_moved(lite: House) -> None:
    lot = lite.booked(name="Lot 7")

    lite.book(lot, LATER, technician_id=lite.second_technician.person_id)

    assert stops(lite) == {"Lot 7": (TODAY, 1, True)}
    assert stops(lite, "second_technician") == {"Lot 7": (LATER, 0, False)}
    assert stops(lite, "builder") == {"Lot 7": (LATER, 1, False)}
    lite.book(lot, LATER)
    assert stops(lite) == {"Lot 7": (LATER, 2, False)}


def test_a_calendar_obeys_its_company(lite: House) -> None:
    lite.booked(name="Lot 7")

    assert stops(lite, "rival") == {} and list(stops(lite, "builder")) == ["Lot 7"]


def test_an_old_address_opens_nothing_nor_does_that_of_one_who_left(lite: House) -> None:
    lite.booked()

    def token(address: str) -> str:
        return address.rpartition("/")[2].removesuffix(".ics")

    first = token(calendars.renew(lite.parts, lite.builder))
    second = token(calendars.renew(lite.parts, lite.builder))
    assert calendars.calendar(lite.parts, second).stops
    for nobodys in (first, "", "x" * 300):
        with pytest.raises(NotFound):
            calendars.calendar(lite.parts, nobodys)
    asker = lite.person("builder", "Noel Quist", company_id=lite.builder.company_id, rights=())
    left = token(calendars.renew(lite.parts, asker))
    assert calendars.calendar(lite.parts, left).stops
    colleagues.remove(lite.parts, lite.office, asker.person_id or "")
    with pytest.raises(NotFound):
        calendars.calendar(lite.parts, left)


def test_the_calendar_of_a_stop_is_read_by_another(lite: House) -> None:
    lite.booked(name="Lot 7")
    address = calendars.renew(lite.parts, lite.technician)
    (stop,) = calendars.calendar(lite.parts, address.rpartition("/")[2].removesuffix(".ics")).stops

    event = Event("u", stop.day, stop.lot, stop.street, "", "", stop.sequence, stop.changed_at, False)
    found = icalendar.Calendar.from_ical(written(Feed("x", (event,)), lite.parts.now()))

    assert found.walk("VEVENT")[0]["DTSTART"].dt == TODAY
