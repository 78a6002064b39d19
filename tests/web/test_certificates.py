"""What records lack is told in the office with the way to where it is entered; there it is entered once."""

from __future__ import annotations

import pytest

from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


def test_a_missing_certificate_is_told_before_booking_and_entered_under_people(visits: Visits) -> None:
    house, lot = visits.house, visits.house.accepted()
    office, path = visits.by(house.office), f"/office/people/technicians/{house.technician.person_id}"
    form = form_of(office.get(path), path)

    emptied = office.post(path, data=form | {"certificate-certificate": "", "certificate-supervisor": ""})
    told = office.get(f"/office/lots/{lot}/treatment")
    entered = office.post(path, data=form | {"certificate-certificate": "CA-77"})

    assert emptied.status_code == entered.status_code == 302
    assert "Wendell Pike has no certificate number" in text_of(told) and "/office/people" in told.text
    assert "no certificate number" not in text_of(office.get(f"/office/lots/{lot}/treatment"))
    assert "CA-77" in text_of(office.get("/office/people"))


def test_a_supervisor_without_a_certificate_is_told_beside_the_field(visits: Visits) -> None:
    house = visits.house
    office, path = visits.by(house.office), f"/office/people/technicians/{house.technician.person_id}"

    typed = {"certificate-certificate": "", "certificate-supervisor": "Noor Vale"}
    page = office.post(path, data=form_of(office.get(path), path) | typed)

    assert page.status_code == 422
    assert "certificate number is needed" in error_at(page, "certificate-certificate")
    assert form_of(page, path)["certificate-supervisor"] == "Noor Vale"


def test_a_record_says_until_when_it_is_kept(visits: Visits) -> None:
    house, lot = visits.house, visits.house.paid()

    assert "kept through May 3, 2037" in text_of(visits.by(house.office).get(f"/office/lots/{lot}/treatment"))
    assert "/forget" not in visits.by(house.owner).get(f"/office/lots/{lot}/treatment").text
