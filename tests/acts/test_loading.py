"""What is loaded for a technician's day.

The sums are by hand, from the house of ANSI/ASHRAE Standard 140, case L100: 168 ft around and 128 ft of
interior walls. 296 ft and 57 ft coated twice at 100 ft to a gallon are 3.53 gal of concentrate.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from portal.acts import loading, papers
from portal.core.documents.load import LoadSheet
from portal.core.errors import NotFound
from tests.parts.house import House


def load(house: House) -> LoadSheet:
    day = house.parts.today()
    return loading.load_sheet(house.parts, house.office, house.technician.person_id or "", day)


def test_product_is_pooled_over_the_stops_of_the_day(house: House) -> None:
    for name in ("Lot 7", "Lot 8"):
        house.booked(name=name)
    house.book(house.accepted(name="Lot 9"), house.parts.today() + timedelta(1))

    found = load(house)

    [product] = found.products
    assert [stop.place.lot for stop in found.stops] == ["Lot 7", "Lot 8"]
    assert {stop.concentrate for stop in found.stops} == {Decimal("3.53")}
    assert (product.concentrate, product.finished, product.stops) == (Decimal("7.06"), Decimal("14.12"), 2)
    assert product.batches == 8 and product.dye_floz == Decimal("7.06")
    assert product.containers is not None
    # Four of a gallon each for 3.53 gal; for 7.06 gal together one of five and three of one are the cheapest.
    together = {(one.gallons, one.count) for one in product.containers.together}
    assert together == {(Decimal("5.00"), 1), (Decimal("1.00"), 3)}
    assert product.containers.together_left == Decimal("0.94")


def test_equipment_follows_people_feet_and_crawl_spaces(lite: House) -> None:
    lite.booked()
    counts = {item.key: item.count for item in load(lite).equipment}
    assert counts["sprayers"] == 2 and "respirator" not in counts
    assert counts["covers"] == 25  # 296 / 12, rounded up

    lite.booked(foundation="crawl space")

    counts = {item.key: item.count for item in load(lite).equipment}
    assert counts["respirator"] == 1 and counts["covers"] == 50  # 592 / 12


def test_a_crew_of_two_takes_three_sprayers(lite: House) -> None:
    lite.enter("crew", {"sprayers": 2})
    lite.booked()

    assert {item.key: item.count for item in load(lite).equipment}["sprayers"] == 3


def test_products_are_not_mixed(lite: House) -> None:
    lite.booked(name="Lot 7")
    second = {"figures": {"name": "Borate concentrate B"}, "registration": "00000-01",
              "classification": "unclassified", "active_ingredient": "borate"}  # fmt: skip
    lite.enter("product", second)
    lite.booked(name="Lot 8")

    assert [(p.name, p.stops) for p in load(lite).products] == [
        ("Borate concentrate A", 1), ("Borate concentrate B", 1),
    ]  # fmt: skip


def test_a_technician_has_their_own_alone_and_there_has_to_be_one(lite: House) -> None:
    lite.booked()
    own, today = lite.technician.person_id or "", lite.parts.today()

    assert loading.load_sheet(lite.parts, lite.technician, own, today) == load(lite)
    with pytest.raises(NotFound):
        loading.load_sheet(lite.parts, lite.second_technician, own, today)
    with pytest.raises(NotFound):
        loading.load_sheet(lite.parts, lite.office, own, today + timedelta(1))


def test_the_paper_is_made_once_and_anew_when_the_day_changes(lite: House) -> None:
    lite.booked()
    asked = lite.parts, lite.technician, lite.technician.person_id or "", lite.parts.today()

    first = papers.load_paper(*asked)
    assert papers.load_paper(*asked) == first and lite.parts.papers.made == 1  # type: ignore[attr-defined]
    lite.booked()

    assert papers.load_paper(*asked).content != first.content
    assert first.name.startswith("load-sheet-2027-05-04-")
