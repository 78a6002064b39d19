"""Crew days through the pages: the schedule and its form, technicians' hours, windows, calendars."""

from __future__ import annotations

import re
from datetime import date, timedelta

import icalendar
import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import booking
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

TODAY, LATER = date(2027, 5, 4), date(2027, 5, 10)


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    return visits.by(visits.house.office)


def send(client: FlaskClient, lot_id: str, **changes: str) -> TestResponse:
    """Send the schedule's form as it is shown for a lot, with changes."""
    form = form_of(client.get(f"/office/crew-days?lot={lot_id}"), "/crew-days/book#book")
    return client.post("/office/crew-days/book", data=form | {f"crew-{k}": v for k, v in changes.items()})


def test_the_form_books_a_lot_without_a_script(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.accepted()

    answer = send(office, lot_id, technician=house.technician.person_id or "", day="2027-05-10")

    job = house.sheet(lot_id).job
    assert answer.status_code == 303 and "begin=2027-05-03" in answer.headers["Location"]
    assert job is not None and (job.state, job.day) == ("booked", LATER)


def test_moving_keeps_the_notes_and_asks_why(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.accepted()
    house.book(lot_id, TODAY, notes="Key in the shed")

    page = send(office, lot_id, day="2027-05-10")
    assert page.status_code == 422 and "Choose the reason" in error_at(page, "crew-kind")
    assert form_of(page, "/crew-days/book#book")["crew-day"] == "2027-05-10"

    assert send(office, lot_id, day="2027-05-10", kind="weather").status_code == 303
    job = house.sheet(lot_id).job
    assert job is not None and (job.day, job.notes) == (LATER, "Key in the shed")
    said = text_of(office.get(f"/office/lots/{lot_id}/treatment"))
    assert "why the weather" in said


@pytest.mark.parametrize(
    ("changes", "at", "says"),
    [
        ({"lot": ""}, "crew-lot", "Choose a lot."), ({"lot": "nonsense.1"}, "crew-lot", "Choose a lot."),
        ({"technician": ""}, "crew-technician", "Choose a technician."),
        ({"day": "soon"}, "crew-day", "“soon” is no day"),
        ({"day": "2027-05-08"}, "crew-reason", "not at work"),
        ({"day": "2027-05-12"}, "crew-reason", "Insulation starts on May 12, 2027"),
    ],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field(
    visits: Visits, office: FlaskClient, changes: dict[str, str], at: str, says: str
) -> None:
    lot_id = visits.house.accepted(insulation_starts=date(2027, 5, 12))
    typed = {"technician": visits.house.technician.person_id or "", "day": "2027-05-10"} | changes

    page = send(office, lot_id, **typed)

    assert page.status_code == 422 and says in error_at(page, at)


def test_a_lot_that_somebody_else_changed_is_not_booked_over(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.accepted()
    form = form_of(office.get(f"/office/crew-days?lot={lot_id}"), "/crew-days/book#book")
    house.book(lot_id, TODAY)

    typed = {"crew-technician": house.technician.person_id or "", "crew-day": "2027-05-10"}
    page = office.post("/office/crew-days/book", data=form | typed)

    assert page.status_code == 409 and "changed this lot in the meantime" in text_of(page)
    assert form_of(page, "/crew-days/book#book")["crew-lot"] == f"{lot_id}.{house.version(lot_id)}"


def test_stops_are_links_to_their_form_and_the_table_says_the_same(
    visits: Visits, office: FlaskClient
) -> None:
    house = visits.house
    lot_id = house.accepted(name="Lot 7", framing_done=LATER)
    house.book(lot_id, TODAY + timedelta(1), reason="As agreed.")

    page = office.get("/office/crew-days")

    said = page.get_data(as_text=True)
    assert f'href="/office/crew-days?begin=2027-05-03&amp;lot={lot_id}#book"' in said
    assert 'aria-label="Lot 7: booked for Wednesday, May 5, 2027, Wendell Pike. Move it"' in said
    assert "before framing is done" in text_of(page)


@pytest.mark.parametrize("begin", ["soon", "2027-02-30", "0001-01-01", "9999-12-31"])
def test_weeks_that_no_link_leads_to_are_not_there(office: FlaskClient, begin: str) -> None:
    assert office.get(f"/office/crew-days?begin={begin}").status_code == 404


def test_hours_and_days_off_are_entered(visits: Visits, office: FlaskClient) -> None:
    person = visits.house.technician.person_id
    place = f"/office/technicians/{person}"

    week = form_of(office.get(place), "/week")
    assert (week["monday"], week["saturday"]) == ("8", "")
    page = office.post(f"{place}/week", data=week | {"friday": "four"})
    assert page.status_code == 422 and "“four” is no number of hours" in error_at(page, "friday")
    assert office.post(f"{place}/week", data=week | {"friday": "4.5"}).status_code == 303
    assert form_of(office.get(place), "/week")["friday"] == "4.5"

    visits.house.booked(day=LATER)
    page = office.post(f"{place}/off", data={"off-first": "2027-05-01"})
    assert page.status_code == 422 and "is over" in error_at(page, "off-first")
    office.post(f"{place}/off", data={"off-first": "2027-05-10", "off-words": "Dentist"})
    said = text_of(office.get(place))
    assert "One stop is booked on these days: move it." in said and "Dentist" in said
    assert office.post(f"{place}/off/2027-05-10/drop").status_code == 303
    assert office.post(f"{place}/off/never/drop").status_code == 404
    assert "Dentist" not in text_of(office.get(place))


@pytest.mark.parametrize("viewer", ["builder", "office"])
def test_the_window_is_given_on_a_page_of_its_own(visits: Visits, viewer: str) -> None:
    house, lot_id = visits.house, visits.house.accepted()
    client = visits.by(getattr(house, viewer))
    place = ("/office" if viewer == "office" else "") + f"/lots/{lot_id}/frame-days"
    assert place in client.get(place.replace("frame-days", "treatment")).get_data(as_text=True)
    form = form_of(client.get(place), "")

    wrong = client.post(place, data=form | {
        "frame-framing_done": "2027-05-10", "frame-insulation_starts": "2027-05-10"})  # fmt: skip
    assert wrong.status_code == 422
    assert "Insulation starts after framing is done" in error_at(wrong, "frame-insulation_starts")

    given = {"frame-framing_done": "2027-05-05", "frame-insulation_starts": "2027-05-20"}
    assert client.post(place, data=form | given).status_code == 303
    sheet = house.sheet(lot_id)
    assert (sheet.framing_done, sheet.insulation_starts) == (date(2027, 5, 5), date(2027, 5, 20))
    late = client.post(place, data=form | given | {"frame-framing_done": "2027-05-06"})
    assert late.status_code == 409 and form_of(late, "")["frame-framing_done"] == "2027-05-06"


def address_made(client: FlaskClient, place: str) -> str:
    """Press for a new address, and read it off the page."""
    assert client.post(place).status_code == 303
    found = re.search(r'class="address">([^<]+)<', client.get(place).get_data(as_text=True))
    assert found is not None and 'class="address"' not in client.get(place).get_data(as_text=True)
    return found.group(1)


@pytest.mark.parametrize(
    ("viewer", "place", "summary"),
    [("technician", "/stops/calendar", "Treat Lot 7"), ("builder", "/lots/calendar", "Treatment of Lot 7")],
)
def test_a_calendar_is_fetched_without_signing_in_and_followed(
    visits: Visits, viewer: str, place: str, summary: str
) -> None:
    house = visits.house
    lot_id = house.accepted(name="Lot 7")
    house.book(lot_id, TODAY, notes="Gate 4417")
    first = address_made(visits.by(getattr(house, viewer)), place)
    address = address_made(visits.by(getattr(house, viewer)), place)
    path, nobody = address.removeprefix(house.settings.base_url), visits.by(None)

    answer = nobody.get(path)

    assert answer.status_code == 200 and answer.content_type == "text/calendar; charset=utf-8"
    calendar = icalendar.Calendar.from_ical(answer.data)
    (stop,) = calendar.walk("VEVENT")
    assert stop["SUMMARY"] == summary and stop["DTSTART"].dt == TODAY and stop["SEQUENCE"] == 0
    said = answer.get_data(as_text=True)
    assert "$" not in said and "429" not in said and "462" not in said
    assert ("Gate 4417" in said) is (viewer == "technician")
    assert nobody.get(first.removeprefix(house.settings.base_url)).status_code == 404

    booking.call_off(house.parts, house.office, lot_id, house.version(lot_id), "", "weather")
    (later,) = icalendar.Calendar.from_ical(nobody.get(path).data).walk("VEVENT")
    assert (later["UID"], later["STATUS"], later["SEQUENCE"]) == (stop["UID"], "CANCELLED", 1)


def test_the_builders_calendar_has_no_other_builders_lot(visits: Visits) -> None:
    house = visits.house
    house.booked(name="Lot 7")
    address = address_made(visits.by(house.rival), "/lots/calendar")

    found = icalendar.Calendar.from_ical(
        visits.by(None).get(address.removeprefix(house.settings.base_url)).data
    )

    assert not found.walk("VEVENT")
