"""The office's lists: Today, Lots, Crew days, Money in, Warranty register."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from portal.acts import amending, entering
from portal.acts.amending import PageTyped
from portal.acts.entering import Batch, Sent
from portal.acts.on_site import on_site
from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow


def test_today_names_what_needs_a_hand_and_leads_to_its_sheet(visits: Visits) -> None:
    house = visits.house
    asked, to_check, approved, to_book = house.asked(), house.to_check(), house.approved(), house.accepted()

    page = visits.by(house.office).get("/office/today")

    source = page.get_data(as_text=True)
    assert "4 things need a hand" in text_of(page)
    sheets = {asked: "takeoff", to_check: "quote", approved: "quote", to_book: "treatment"}
    assert all(f"/office/lots/{lot_id}/{sheet}" in source for lot_id, sheet in sheets.items())


def test_today_says_so_when_nothing_needs_a_hand(visits: Visits) -> None:
    visits.house.sent()

    assert "Nothing needs a hand." in text_of(visits.by(visits.house.office).get("/office/today"))


def test_what_is_to_be_booked_stands_in_the_order_in_which_its_window_closes(visits: Visits) -> None:
    house, today = visits.house, visits.house.parts.today()
    late = house.accepted(siding_starts=today + timedelta(days=20))
    never = house.accepted()
    soon = house.accepted(
        siding_starts=today + timedelta(days=9), insulation_starts=today + timedelta(days=3)
    )

    for path in ("/office/today", "/office/crew-days"):
        source = visits.by(house.office).get(path).get_data(as_text=True)
        places = [source.index(f"/office/lots/{lot_id}/treatment") for lot_id in (soon, late, never)]
        assert places == sorted(places)


def test_a_treated_lot_stands_to_be_signed_off_and_an_unpaid_one_is_overdue_after_its_day(
    visits: Visits,
) -> None:
    lot_id = visits.house.treated()
    said = text_of(visits.by(visits.house.office).get("/office/today"))
    assert "Treated, to sign off 1" in said
    assert "Overdue" not in said

    visits.house.clock.pass_by(days=31)

    page = visits.by(visits.house.office).get("/office/today")
    assert "Overdue 1" in text_of(page)
    assert f"/office/lots/{lot_id}/invoice" in page.get_data(as_text=True)


def test_a_stop_on_which_two_phones_differ_needs_a_hand_until_one_entry_is_picked(visits: Visits) -> None:
    house = visits.house
    lot_id = house.booked()
    for water in ("3", "4"):
        entry = Sent(str(uuid.uuid4()), 1, "water", water, (), house.clock())
        batch = Batch(str(uuid.uuid4()), house.clock(), [entry])
        entering.take(house.parts, house.technician, house.job(lot_id), batch)

    page = visits.by(house.office).get("/office/today")

    assert "One thing needs a hand." in text_of(page)
    assert "Two phones differ, to pick 1" in text_of(page)
    assert f"/office/lots/{lot_id}/treatment" in page.get_data(as_text=True)
    (heads,) = on_site(house.parts, house.office, lot_id).differing
    entering.pick(house.parts, house.office, lot_id, "water", heads[0].id)
    assert "Nothing needs a hand." in text_of(visits.by(house.office).get("/office/today"))


def test_a_record_sent_back_waits_for_its_technician_and_explained_for_the_office(visits: Visits) -> None:
    house = visits.house
    lot_id = house.treated()
    amending.send_back(house.parts, house.office, lot_id, house.version(lot_id), "Why so little?")

    waits = text_of(visits.by(house.office).get("/office/today"))
    said = PageTyped("amounts", "3.25 gal", "3.52 gal", "Two digits were swapped.")
    amending.explain(house.parts, house.technician, house.job(lot_id), said, house.key())
    page = visits.by(house.office).get("/office/today")

    assert "Sent back, to be explained 1" in waits and "Nothing needs a hand." in waits
    assert "Explained, to sign off 1" in text_of(page) and "One thing needs a hand." in text_of(page)
    assert "Treated, to sign off" not in waits + text_of(page)
    assert f"/office/lots/{lot_id}/treatment" in page.get_data(as_text=True)


def test_lots_of_every_builder_are_listed_fifty_a_page(visits: Visits) -> None:
    house = visits.house
    for number in range(52):
        house.asked(by=house.rival if number % 2 else house.builder)
        house.clock.pass_by(minutes=1)
    client = visits.by(house.office)

    first = client.get("/office/lots")
    source = first.get_data(as_text=True)
    older = source[source.index('rel="next"') :].split('href="')[1].split('"')[0].replace("&amp;", "&")
    second = client.get(older)

    assert source.count("/office/lots/") == 50
    assert "Lot 52, " in text_of(first) and "Lot 2, " not in text_of(first)
    assert "Lot 2, " in text_of(second) and "Lot 1, " in text_of(second) and "Lot 3, " not in text_of(second)
    assert "Osier Creek Builders" in text_of(first) and "Harrow & Finch Homes" in text_of(first)


def test_lots_are_found_by_text_and_by_stage(visits: Visits) -> None:
    house = visits.house
    house.asked(street="Kiln Row")
    house.sent(street="Planer Way")
    client = visits.by(house.office)

    assert "Kiln Row" not in text_of(client.get("/office/lots?text=planer"))
    assert "Planer Way" in text_of(client.get("/office/lots?text=planer"))
    assert "Planer Way" not in text_of(client.get("/office/lots?stage=asked"))
    assert "No lot is like that." in text_of(client.get("/office/lots?text=nowhere"))


@pytest.mark.parametrize("after", ["nonsense", "2027-05-04T08:00:00~", "2027-05-04T08:00:00~abc", "~abc"])
def test_a_page_that_no_link_leads_to_is_not_there(visits: Visits, after: str) -> None:
    assert visits.by(visits.house.office).get(f"/office/lots?after={after}").status_code == 404


def test_crew_days_show_each_day_with_who_is_where(visits: Visits) -> None:
    house = visits.house
    lot_id = house.accepted()
    house.book(lot_id, house.parts.today() + timedelta(days=2))

    said = text_of(visits.by(house.office).get("/office/crew-days"))

    assert "Thu, May 6, Wendell Pike" in said
    assert "Wendell Pike Thu, May 6 1: load sheet" in said


def test_money_in_adds_up_what_is_owed_paid_and_overdue(visits: Visits) -> None:
    # 296 ft, a third of it a second coat or wrap: each invoice comes to $540.51 with tax and call-out,
    # by hand: 429.20 + 34.20 + 6.75 + 35.00 = 505.15, 7 % of it 35.3605.
    house = visits.house
    first, second = house.treated(), house.treated()
    house.pay(first, "100.00")
    paid = house.treated()
    house.pay(paid, "540.51")

    open_ones = text_of(visits.by(house.office).get("/office/money"))
    every = text_of(visits.by(house.office).get("/office/money?show=all"))

    assert "All 2 invoices $1,081.02 $100.00 $981.02" in open_ones
    assert "All 3 invoices $1,621.53 $640.51 $981.02" in every
    house.clock.pass_by(days=31)
    late = text_of(visits.by(house.office).get("/office/money"))
    assert "Overdue $981.02" in late
    assert f"overdue, {'Jun 3, 2027'}" in late
    assert house.sheet(second).invoice is not None


def test_the_register_finds_a_warranty_by_number_address_and_builder(visits: Visits) -> None:
    house = visits.house
    lot_id = house.treated(house_number="4411", street="Sawyer Row")
    house.treated(street="Kiln Lane")
    number = house.warranty(lot_id).number
    client = visits.by(house.office)

    for text in (number, number.replace("-", " ").lower(), "4411 Sawyer", "sawyer"):
        said = text_of(client.get("/office/warranties", query_string={"text": text}))
        assert number in said and "Kiln Lane" not in said, text
    assert number in text_of(client.get("/office/warranties?text=Harrow"))
    assert number not in text_of(client.get("/office/warranties?state=in+force"))
    assert number in text_of(client.get("/office/warranties?state=held"))
