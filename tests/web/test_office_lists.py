"""The office's lists: Today, Lots, Crew days, Money in, Warranty register."""

from __future__ import annotations

from tests.web.visits import Visits, text_of


def test_today_names_what_needs_a_hand_and_leads_to_its_sheet(visits: Visits) -> None:
    house = visits.house
    asked, to_check, approved, to_book = house.asked(), house.to_check(), house.approved(), house.accepted()

    page = visits.by(house.office).get("/office/today")

    said, source = text_of(page), page.get_data(as_text=True)
    assert page.status_code == 200
    assert "4 things need a hand" in said
    for lot_id, sheet in ((asked, "takeoff"), (to_check, "quote"), (approved, "quote"), (to_book, "treatment")):
        assert f"/office/lots/{lot_id}/{sheet}" in source
