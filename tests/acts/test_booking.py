"""The office books a technician and a day, moves it, calls it off."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from portal.acts import booking, outbox, treating
from portal.core.errors import NotFound, Overtaken
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

TODAY, LATER = date(2027, 5, 4), date(2027, 5, 10)


def call_off(house: House, lot: str, reason: str = "Rain.") -> None:
    booking.call_off(house.parts, house.office, lot, house.version(lot), reason)


def test_a_booking_freezes_a_field_sheet_and_tells_both(house: House) -> None:
    lot = house.booked(day=LATER)

    job = house.sheet(lot).job
    assert job is not None
    stop = treating.stop(house.parts, house.technician, job.id)

    assert (job.state, job.technician, job.day) == ("booked", "Wendell Pike", LATER)
    assert (stop.sheet.number, stop.sheet.day, len(stop.sheet.walls)) == ("J-2027-0001", LATER, 4)
    assert {("booked", "harriet@example.com"), ("stop_booked", "wendell@example.com")} <= set(house.letters())


def test_who_can_be_booked_are_technicians(lite: House) -> None:
    assert [t.name for t in booking.technicians(lite.parts, lite.office)] == ["Rosa Imber", "Wendell Pike"]


def test_nothing_is_booked_before_it_is_accepted(lite: House) -> None:
    lot = lite.sent()

    said = refusal(lambda: lite.book(lot, TODAY))

    assert said == "There is nothing to book: the quote is not accepted."


def test_a_booking_needs_a_technician_and_a_day(lite: House) -> None:
    lot = lite.accepted()

    found = problems(lambda: lite.book(lot, None, technician_id="x"))

    assert found == {"technician": "Choose a technician.", "day": "Choose a day."}


def test_an_office_person_is_no_technician(lite: House) -> None:
    lot = lite.accepted()

    assert list(problems(lambda: lite.book(lot, TODAY, technician_id=lite.office.person_id))) == [
        "technician"
    ]


def test_a_day_that_is_over_is_not_booked(lite: House) -> None:
    lot = lite.accepted()

    found = problems(lambda: lite.book(lot, date(2027, 5, 3)))

    assert found == {"day": "2027-05-03 is over. Choose today or a later day."}


@pytest.mark.parametrize("day", [date(2027, 5, 10), date(2027, 5, 11)])
def test_a_day_on_which_the_frame_is_closed_takes_a_reason(lite: House, day: date) -> None:
    lot = lite.accepted(insulation_starts=date(2027, 5, 10))

    found = problems(lambda: lite.book(lot, day, reason=" "))
    lite.book(lot, day, reason="The north side is insulated last.")

    assert list(found) == ["reason"] and "Insulation starts on 2027-05-10" in found["reason"]
    assert lite.sheet(lot).history[0].details["reason"] == "The north side is insulated last."


def test_the_day_before_insulation_takes_none(lite: House) -> None:
    lot = lite.accepted(insulation_starts=date(2027, 5, 11))

    lite.book(lot, LATER)

    assert lite.sheet(lot).stage == "booked"


@pytest.mark.parametrize(("field", "limit"), [("notes", 4000), ("reason", 2000)])
def test_notes_have_an_end(lite: House, field: str, limit: int) -> None:
    lot = lite.accepted()

    assert list(problems(lambda: lite.book(lot, TODAY, **{field: "x" * (limit + 1)}))) == [field]


def test_moving_gives_the_stop_to_another_and_tells_the_first(house: House) -> None:
    lot = house.booked()
    treating.arrive(house.parts, house.technician, house.job(lot), {"conditions": "Dry."})

    house.book(lot, LATER, technician_id=house.second_technician.person_id, reason="Wendell is ill.")

    stop = treating.stop(house.parts, house.second_technician, house.job(lot))
    assert (stop.state, stop.day, stop.entry) == ("booked", LATER, {"conditions": "Dry."})
    assert house.verbs(lot)[-1] == "moved"
    assert {("stop_booked", "rosa@example.com"), ("called_off", "wendell@example.com")} <= set(
        house.letters()
    )
    with pytest.raises(NotFound):
        treating.stop(house.parts, house.technician, house.job(lot))


def test_who_loses_a_stop_that_moves_to_another_day_is_told_the_day_that_is_free_again(lite: House) -> None:
    lot = lite.booked()

    lite.book(lot, LATER, technician_id=lite.second_technician.person_id)

    letters = outbox.letters(replace(lite.parts, demo=True))
    told = {letter.subject: letter.text for letter in letters if letter.to == lite.technician.email}
    assert f"day: {TODAY}" in told["called_off"] and str(LATER) not in told["called_off"]


def test_booking_the_same_again_keeps_the_arrival(lite: House) -> None:
    lot = lite.booked()
    treating.arrive(lite.parts, lite.technician, lite.job(lot))

    lite.book(lot, TODAY, notes="Gate is open from 7.")

    entry = treating.stop(lite.parts, lite.technician, lite.job(lot)).entry
    assert entry == {"arrived": "08:00", "day": "2027-05-04"}


@pytest.mark.parametrize("on_site", [False, True])
def test_calling_off_has_it_booked_anew(house: House, on_site: bool) -> None:
    lot = house.booked()
    if on_site:
        treating.arrive(house.parts, house.technician, house.job(lot))

    call_off(house, lot)

    job = house.sheet(lot).job
    assert job is not None
    assert (house.sheet(lot).stage, job.state, job.technician_id, job.day) == (
        "accepted",
        "unscheduled",
        None,
        None,
    )
    assert {("called_off", "harriet@example.com"), ("called_off", "wendell@example.com")} <= set(
        house.letters()
    )
    house.booked(lot)
    assert "arrived" not in treating.stop(house.parts, house.technician, house.job(lot)).entry


def test_calling_off_takes_a_reason(lite: House) -> None:
    lot = lite.booked()

    assert list(problems(lambda: call_off(lite, lot, ""))) == ["reason"]


def test_what_is_not_booked_is_not_called_off(lite: House) -> None:
    accepted, treated = lite.accepted(), lite.treated()

    assert refusal(lambda: call_off(lite, accepted)) == "It is unscheduled, so it cannot become unscheduled."
    assert refusal(lambda: call_off(lite, treated)) == "It is treated, so it cannot become unscheduled."


def test_what_is_treated_is_not_booked(lite: House) -> None:
    lot = lite.treated()

    assert refusal(lambda: lite.book(lot, TODAY)) == "It is treated, so it cannot become booked."


def test_an_old_version_is_overtaken(lite: House) -> None:
    lot = lite.booked()
    version = lite.version(lot)
    lite.book(lot, LATER)

    with pytest.raises(Overtaken):
        booking.call_off(lite.parts, lite.office, lot, version, "Rain.")
