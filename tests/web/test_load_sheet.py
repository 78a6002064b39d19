"""A day's load sheet, as the technician and the office meet it."""

from __future__ import annotations

import pytest

from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow


def test_the_technician_comes_to_it_from_my_stops(visits: Visits) -> None:
    house = visits.house
    for foundation in ("slab", "crawl space"):
        house.booked(foundation=foundation)
    technician, today = visits.by(house.technician), house.parts.today()

    assert f"/stops/load/{today}" in technician.get("/stops").get_data(as_text=True)
    said = text_of(technician.get(f"/stops/load/{today}"))

    assert "2 stops of Wendell Pike." in said
    assert "1 of 5 gal" in said and "7.06 gal" in said
    assert "Respirators with the filter the label names" in said
    paper = technician.get(f"/stops/load/{today}/load.pdf")
    assert paper.mimetype == "application/pdf"


def test_the_office_comes_to_it_from_crew_days(visits: Visits) -> None:
    house = visits.house
    house.booked()
    office, today = visits.by(house.office), house.parts.today()
    path = f"/office/crew-days/load/{house.technician.person_id}/{today}"

    assert path in office.get("/office/crew-days").get_data(as_text=True)
    said = text_of(office.get(path))

    assert "One stop of Wendell Pike." in said and "respirator" not in said
    assert office.get(f"{path}/load.pdf").mimetype == "application/pdf"


def test_a_day_with_nothing_on_it_has_none(visits: Visits) -> None:
    house = visits.house
    house.booked()

    for path in ("/stops/load/2027-05-09", "/stops/load/soon", "/stops/load/2027-05-09/load.pdf"):
        assert visits.by(house.technician).get(path).status_code == 404
