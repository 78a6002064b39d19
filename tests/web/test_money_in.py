"""The page Money in, and the summaries for machines that are had beside the papers."""

from __future__ import annotations

import re

from lxml import etree

from tests.parts.en16931 import against_schema, fired
from tests.web.visits import Visits, text_of


def test_the_drawing_and_its_table_say_the_same(visits: Visits) -> None:
    house = visits.house
    house.pay(house.treated(), "100.00")
    house.booked()

    said = visits.by(house.office).get("/office/money").get_data(as_text=True)

    # By hand: 540.51 a lot (test_office_lists), 100.00 of it paid; the other is booked at what was quoted.
    words = text_of_html(said)
    assert "Owed now $440.51" in words
    assert "Together $100.00 $0.00 $440.51" in words
    for svg in re.findall(r"<svg[^>]*weeks-drawing.*?</svg>", said, re.S):
        drawn = etree.fromstring(svg)
        assert drawn.get("role") == "img"
        assert drawn.findtext("{*}title") == "Money by the week"
        assert len(drawn.findall("{*}path[@class='drawn--came']")) == 1
        assert len(drawn.findall("{*}path[@class='drawn--due']")) == 1
        assert len(drawn.findall("{*}path[@class='drawn--to-bill']")) == 1
        assert not drawn.findall("{*}path[@class='drawn--gap']")
    assert len(re.findall("weeks-drawing", said)) == 2


def text_of_html(said: str) -> str:
    """What is read on a page."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", said))


def test_a_builder_is_chosen_and_one_there_is_not_is_not_found(visits: Visits) -> None:
    house = visits.house
    lot = house.treated()
    office, own = visits.by(house.office), house.sheet(lot).company_id

    assert "$540.51" in text_of(office.get(f"/office/money?builder={own}"))
    assert office.get("/office/money?builder=nobody").status_code == 404


def test_the_summary_of_an_invoice_is_had_by_the_office_and_its_builder_only(visits: Visits) -> None:
    house = visits.house
    paper = house.invoice(house.treated()).id

    mine = visits.by(house.builder).get(f"/money-papers/invoice/{paper}/summary")
    office = visits.by(house.office).get(f"/office/money-papers/invoice/{paper}/summary")
    others = visits.by(house.rival).get(f"/money-papers/invoice/{paper}/summary")

    assert mine.mimetype == "application/xml"
    assert re.fullmatch(r'attachment; filename="INV-\d{4}-0001.xml"', mine.headers["Content-Disposition"])
    assert mine.data == office.data
    assert against_schema(mine.data) == []
    assert fired(mine.data)[0] == []
    assert etree.fromstring(mine.data).findtext("{*}LegalMonetaryTotal/{*}PayableAmount") == "540.51"
    assert others.status_code == 404
    assert visits.by(house.office).get(f"/office/money-papers/retainage/{paper}/summary").status_code == 404
