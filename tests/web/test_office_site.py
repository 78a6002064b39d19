"""The treatment's booking and signing off, through the office's pages."""

from __future__ import annotations

from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from tests.web.visits import Visits, error_at, form_of, press, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def on(visits: Visits, days: int) -> str:
    """A day so many days from today, as a browser sends it."""
    return (visits.house.parts.today() + timedelta(days=days)).isoformat()


def test_a_technician_and_a_day_are_booked(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.accepted()
    technician = house.technician.person_id or ""

    answer = press(
        office, lot_id, "book", "treatment", technician=technician, day=on(visits, 2), notes="Key in the shed"
    )

    job = house.sheet(lot_id).job
    assert answer.status_code == 303
    assert job is not None and (job.state, job.technician, job.notes) == (
        "booked",
        "Wendell Pike",
        "Key in the shed",
    )
    assert ("stop_booked", "wendell@example.com") in house.letters()


def test_nothing_chosen_is_told_beside_each_field(visits: Visits, office: FlaskClient) -> None:
    page = press(office, visits.house.accepted(), "book", "treatment", notes="Kept")

    assert page.status_code == 422
    assert error_at(page, "book-technician") == "Choose a technician."
    assert error_at(page, "book-day") == "Choose a day."
    assert form_of(page, "/book")["book-notes"] == "Kept"


@pytest.mark.parametrize("day", ["2027-02-30", "soon", "05/06/2027"])
def test_a_day_that_cannot_be_read_is_named(visits: Visits, office: FlaskClient, day: str) -> None:
    page = press(office, visits.house.accepted(), "book", "treatment", day=day)

    assert page.status_code == 422
    assert day in error_at(page, "book-day")


def test_a_day_after_insulation_starts_needs_a_reason(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    lot_id = house.accepted(insulation_starts=house.parts.today() + timedelta(days=3))
    typed = {"technician": house.technician.person_id or "", "day": on(visits, 3)}

    page = press(office, lot_id, "book", "treatment", **typed)
    assert page.status_code == 422
    assert "the frame is closed then" in error_at(page, "book-reason")

    answer = press(office, lot_id, "book", "treatment", **typed, reason="Insulation is put off")
    assert answer.status_code == 303
    assert "reason Insulation is put off" in text_of(office.get(f"/office/lots/{lot_id}/treatment"))


def test_siding_before_the_booked_day_is_warned_of(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    lot_id = house.accepted(siding_starts=house.parts.today() + timedelta(days=2))
    house.book(lot_id, house.parts.today() + timedelta(days=3))

    said = text_of(office.get(f"/office/lots/{lot_id}/treatment"))

    assert "Siding starts on May 6, 2027, and the treatment is on May 7, 2027" in said


def test_a_booking_is_moved_and_called_off_with_a_reason(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.booked()
    other = house.second_technician.person_id or ""

    typed = {"technician": other, "day": on(visits, 3), "kind": "crew"}
    assert press(office, lot_id, "book", "treatment", **typed).status_code == 303
    moved = house.sheet(lot_id).job
    assert moved is not None and (moved.technician, moved.day) == (
        "Rosa Imber", house.parts.today() + timedelta(days=3),
    )  # fmt: skip

    page = press(office, lot_id, "call-off", "treatment")
    assert page.status_code == 422 and "Choose the reason" in error_at(page, "call-off-kind")
    page = press(office, lot_id, "call-off", "treatment", kind="other")
    assert page.status_code == 422 and "Give the reason" in error_at(page, "call-off-reason")

    assert press(office, lot_id, "call-off", "treatment", kind="weather").status_code == 303
    after = house.sheet(lot_id).job
    assert after is not None and (after.state, after.technician_id) == ("unscheduled", None)


def test_a_treated_lot_is_signed_off(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.treated()

    assert press(office, lot_id, "sign-off", "treatment").status_code == 303

    job = house.sheet(lot_id).job
    assert job is not None and job.state == "signed off"
    assert "/sign-off" not in office.get(f"/office/lots/{lot_id}/treatment").get_data(as_text=True)
