"""A builder's lots and papers: only their own, in stages, a page at a time."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from portal.acts import papers
from portal.web.builder import lists
from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def names(page: str) -> list[str]:
    """The lots of a list, top to bottom."""
    return re.findall(r">(Lot \d+), \d+ Lime Kiln Lane</a>", page)


def test_a_builder_without_lots_is_shown_the_way_on(browser: FlaskClient) -> None:
    page = browser.get("/lots").get_data(as_text=True)
    assert "You have no lots here yet" in page and page.count('href="/ask"') >= 2


def test_lots_stand_by_their_last_change_the_newest_on_top(browser: FlaskClient, visits: Visits) -> None:
    first = visits.house.asked(name="Lot 1")
    visits.house.clock.pass_by(hours=1)
    visits.house.asked(name="Lot 2")
    visits.house.clock.pass_by(hours=1)
    visits.house.to_check(first)
    assert names(browser.get("/lots").get_data(as_text=True)) == ["Lot 1", "Lot 2"]


def test_stages_are_counted_and_a_press_shows_only_those(browser: FlaskClient, visits: Visits) -> None:
    visits.house.asked(name="Lot 1")
    visits.house.approved(name="Lot 2")
    visits.house.sent(name="Lot 3")
    said = text_of(browser.get("/lots"))
    assert "All 3" in said and "With the office 2" in said and "To answer 1" in said
    assert names(browser.get("/lots?stage=answer").get_data(as_text=True)) == ["Lot 3"]


def test_a_quote_that_nobody_let_lapse_yet_counts_as_lapsed(browser: FlaskClient, visits: Visits) -> None:
    visits.house.sent(name="Lot 1")
    visits.house.clock.pass_by(days=40)
    visits.house.asked(name="Lot 2")
    assert "Declined or lapsed 1" in text_of(visits.by(visits.house.builder).get("/lots"))


def test_lots_are_found_by_text_and_by_subdivision(browser: FlaskClient, visits: Visits) -> None:
    visits.house.asked(name="Lot 1", subdivision="Mill Race")
    visits.house.asked(name="Lot 2", street="Lime Kiln Lane", house_number="77")
    assert names(browser.get("/lots?subdivision=Mill+Race").get_data(as_text=True)) == ["Lot 1"]
    assert names(browser.get("/lots?text=77").get_data(as_text=True)) == ["Lot 2"]
    assert "No lot of yours is like that" in text_of(browser.get("/lots?text=100%25"))


def test_fifty_lots_stand_on_a_page_and_the_next_page_goes_on_behind_them(
    browser: FlaskClient, visits: Visits
) -> None:
    for number in range(53):
        visits.house.clock.pass_by(minutes=1)
        visits.house.asked(name=f"Lot {number}")
    first = browser.get("/lots").get_data(as_text=True)
    older = re.search(r'rel="next" href="([^"]+)"', first)
    assert older and len(names(first)) == 50
    second = browser.get(older[1].replace("&amp;", "&")).get_data(as_text=True)
    assert names(second) == ["Lot 2", "Lot 1", "Lot 0"] and 'rel="next"' not in second


@pytest.mark.parametrize(
    "after", ["", "~", "yesterday~x", "2027-05-04T08:00:00~x", "2027-05-04T08:00:00+00:00~"]
)
def test_an_address_that_makes_no_sense_shows_the_first_page(after: str) -> None:
    assert lists.asked_for({"after": after, "stage": "no such"}).after is None


def test_another_builder_s_lots_are_not_in_the_list(browser: FlaskClient, visits: Visits) -> None:
    visits.house.asked(by=visits.house.rival, name="Lot 9", subdivision="Hidden Hollow")
    page = browser.get("/lots").get_data(as_text=True)
    assert "Lot 9" not in page and "Hidden Hollow" not in page


ADDRESSES = [
    ("GET", ""), ("GET", "/takeoff"), ("GET", "/quote"), ("GET", "/treatment"), ("GET", "/invoice"),
    ("GET", "/warranty"), ("GET", "/change"), ("POST", "/change"), ("GET", "/ask-again"),
    ("POST", "/ask-again"), ("POST", "/quote/accept"), ("POST", "/quote/decline"),
    ("POST", "/siding-day"), ("GET", "/papers/quote"), ("GET", "/papers/quote/1"),
    ("GET", "/papers/acceptance/1"), ("GET", "/papers/treatment-record"), ("GET", "/papers/invoice"),
    ("GET", "/papers/certificate"), ("GET", "/papers/field-sheet"), ("GET", "/papers.zip"),
    ("POST", "/keep-plan"), ("POST", "/frame-days"), ("GET", "/photos/none/small"),
    ("POST", "/warranty/owner"), ("GET", "/closing-packet.pdf"),
    ("POST", "/closing-packet"), ("GET", "/addition"), ("POST", "/addition"),
    ("POST", "/quote/take-back"), ("POST", "/quote/links"), ("POST", "/quote/links/none/withdraw"),
]  # fmt: skip


@pytest.mark.parametrize(("method", "address"), ADDRESSES)
def test_another_builder_s_lot_is_not_there_at_any_address(visits: Visits, method: str, address: str) -> None:
    house = visits.house
    lot_id = house.paid()
    before = house.verbs(lot_id)
    typed = {
        "press": "send", "once_key": "k", "revision": "1", "name": "Bram Sorrel", "reason": "mine",
        "seen": house.sheet(lot_id).revisions[0].fingerprint, "version": str(house.version(lot_id)),
        "siding-day-siding_starts": "2027-05-17", "siding-day-version": str(house.version(lot_id)),
    }  # fmt: skip
    answer = visits.by(house.rival).open(f"/lots/{lot_id}{address}", method=method, data=typed)
    assert answer.status_code == 404
    assert house.verbs(lot_id) == before and "Lime Kiln" not in answer.get_data(as_text=True)


def test_every_address_of_a_lot_stands_in_the_table_above(visits: Visits) -> None:
    rules = [rule for rule in visits.app.url_map.iter_rules() if rule.endpoint.startswith("builder.")]
    known = {address for _method, address in ADDRESSES}
    for rule in rules:
        if "<lot_id>" in rule.rule:
            shape = rule.rule.removeprefix("/lots/<lot_id>")
            for marked, example in (("<any(takeoff, quote, treatment, invoice, warranty):sheet>", "quote"),
                                    ("<kind>/<int:revision>", "quote/1"), ("<kind>", "quote"),
                                    ("<link_id>", "none"),
                                    ("<photo_id>/<any(small, whole):size>", "none/small")):  # fmt: skip
                shape = shape.replace(marked, example)
            assert shape in known, rule.rule


@pytest.mark.parametrize("place", ["/lots", "/ask", "/papers"])
def test_nobody_is_asked_to_sign_in_and_others_find_no_such_page(visits: Visits, place: str) -> None:
    assert "/sign-in" in visits.by(None).get(place).location
    for who in (visits.house.office, visits.house.technician):
        assert visits.by(who).get(place).status_code == 404


def test_papers_stand_by_lot_each_with_its_link(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.paid()
    visits.house.asked(name="Lot 77")
    page = browser.get("/papers").get_data(as_text=True)
    for kind in ("quote/1", "acceptance/1", "treatment-record", "invoice", "certificate"):
        address = f"/lots/{lot_id}/papers/{kind}"
        assert f'href="{address}"' in page
        assert browser.get(address).mimetype == "application/pdf"
    assert "Lot 77" not in page and "field-sheet" not in page


def test_the_papers_of_many_lots_are_those_of_each(visits: Visits) -> None:
    house = visits.house
    lots = [house.paid(), house.treated(), house.sent(), house.asked()]
    by_lot = papers.papers_of_lots(house.parts, house.builder, tuple(lots))
    for lot_id in lots:
        assert by_lot.get(lot_id, ()) == papers.papers_of(house.parts, house.builder, lot_id)
    assert papers.papers_of_lots(house.parts, house.rival, tuple(lots)) == {}


def test_a_builder_without_papers_is_told_when_the_first_comes(browser: FlaskClient) -> None:
    assert "The first comes with a quote" in text_of(browser.get("/papers"))


def test_a_paper_is_shown_in_the_browser_under_a_name_of_its_own(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.sent()
    answer = browser.get(f"/lots/{lot_id}/papers/quote/1")
    assert re.fullmatch(
        r'inline; filename="quote-Q-2027-0001-rev-1\.pdf"', answer.headers["Content-Disposition"]
    )


def test_the_field_sheet_is_the_office_s_and_the_technician_s_only(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.booked(day=visits.house.parts.today() + timedelta(days=1))
    assert browser.get(f"/lots/{lot_id}/papers/field-sheet").status_code == 404
