"""What changed between two revisions, on the quote's sheet of builder and office."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from portal.acts import quoting
from tests.parts.house import RATES
from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's."""
    return visits.by(visits.house.builder)


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """The office's."""
    return visits.by(visits.house.office)


@pytest.fixture
def lot(visits: Visits) -> str:
    """A lot with three revisions sent: an extra line came with the second; the third has other rates."""
    house = visits.house
    lot_id = house.sent()
    _revise(visits, lot_id)
    quoting.add_extra(
        house.parts, house.office, lot_id, house.version(lot_id), "Porch", "Asked by phone", "40.00"
    )
    quoting.approve(house.parts, house.office, lot_id, house.version(lot_id), "Use the north gate.")
    house.sent(lot_id)
    house.enter("rates", RATES | {"second_coat_per_foot": "0.655", "tax_percent": "8.25"})
    _revise(visits, lot_id)
    quoting.approve(house.parts, house.office, lot_id, house.version(lot_id), "Use the north gate.")
    return house.sent(lot_id)


def _revise(visits: Visits, lot_id: str) -> None:
    house = visits.house
    quoting.revise(house.parts, house.office, lot_id, house.version(lot_id))


def links(page: str) -> list[str]:
    return re.findall(r'href="[^"]*(\?revision=\d&amp;against=\d#changed)"', page)


def test_the_newest_is_told_against_the_one_before_it(browser: FlaskClient, lot: str) -> None:
    """By hand: 57 ft at 0.655 are 37.335, so 37.34, and were 34.20; 8.25 % of 548.29 are 45.23."""
    page = browser.get(f"/lots/{lot}/quote")

    said = text_of(page)
    assert "What changed from revision 2 to revision 3" in said
    assert "Revision 2 came to $583.31; this is $10.21 more: rates $3.14, tax $7.07." in said
    assert "Second coat inside, a foot $0.60 0.655 USD $3.14" in said
    assert "Tax on what changed above $38.16 $38.38 $0.22" in said
    assert "Tax 7 % 8.25 % $6.85" in said
    assert "Total $583.31 $593.52 $10.21" in said
    assert links(page.get_data(as_text=True)) == ["?revision=3&amp;against=1#changed"]


def test_any_two_are_told_by_a_link(browser: FlaskClient, lot: str) -> None:
    said = text_of(browser.get(f"/lots/{lot}/quote?revision=3&against=1"))

    assert "What changed from revision 1 to revision 3" in said
    assert "Extra line: Porch not there yet $40.00 $40.00" in said
    assert "Remarks nothing Use the north gate." in said
    assert "Treatment of all exterior and interior walls $429.20 $429.20 $0.00" in said


@pytest.mark.parametrize("against", ["", "1", "9", "x", "-2"])
def test_the_first_is_told_against_a_newer_one(browser: FlaskClient, lot: str, against: str) -> None:
    """What is no other revision is left out of account."""
    said = text_of(browser.get(f"/lots/{lot}/quote?revision=1&against={against}"))

    assert "What changed from revision 1 to revision 2" in said


def test_one_revision_alone_has_nothing_beside_it(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    assert "What changed" not in text_of(browser.get(f"/lots/{lot_id}/quote"))
    assert "What changed" not in text_of(browser.get(f"/lots/{lot_id}/takeoff"))


def test_the_office_sees_its_draft_against_what_was_sent_and_the_builder_does_not(
    browser: FlaskClient, office: FlaskClient, visits: Visits
) -> None:
    house, lot_id = visits.house, visits.house.sent()
    _revise(visits, lot_id)
    quoting.add_extra(
        house.parts, house.office, lot_id, house.version(lot_id), "Porch", "Asked by phone", "40.00"
    )

    assert "What changed" not in text_of(browser.get(f"/lots/{lot_id}/quote"))
    said = text_of(office.get(f"/office/lots/{lot_id}/quote"))
    assert "Revision 2 is not sent yet: this is how it would be sent today." in said
    assert "this is $42.80 more: extra lines $40.00, tax $2.80." in said


def test_a_revision_that_changes_nothing_says_so(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    _revise(visits, lot_id)
    visits.house.sent(visits.house.approved(lot_id))

    said = text_of(browser.get(f"/lots/{lot_id}/quote"))

    assert "It says the same as revision 1, at the same price, $540.51." in said
    assert "What changed in the price" not in said


def test_two_currencies_are_not_subtracted(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    visits.house.enter("rates", RATES | {"currency": "CAD"})
    _revise(visits, lot_id)
    visits.house.sent(visits.house.approved(lot_id))

    said = text_of(browser.get(f"/lots/{lot_id}/quote"))

    assert "in different currencies: their prices are not compared" in said and "Side by side" not in said
