"""A lot's five sheets for its builder, and the answer to its quote."""

from __future__ import annotations

import html
import re
from datetime import date
from html.parser import HTMLParser
from typing import Any

import pytest
from flask.testing import FlaskClient

from portal.acts import quoting
from tests.parts.house import ranch
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def answer_form(browser: FlaskClient, lot_id: str, act: str = "accept", **typed: str) -> dict[str, str]:
    """The form of an answer as it stands on the quote's sheet, filled in."""
    page = browser.get(f"/lots/{lot_id}/quote")
    return form_of(page, f"/lots/{lot_id}/quote/{act}") | typed


@pytest.mark.parametrize(
    ("stage", "sheet"),
    [
        ("asked", "1 of 5"),
        ("sent", "2 of 5"),
        ("accepted", "3 of 5"),
        ("treated", "4 of 5"),
        ("paid", "5 of 5"),
    ],
)
def test_a_lot_opens_on_the_sheet_it_has_come_to(
    browser: FlaskClient, visits: Visits, stage: str, sheet: str
) -> None:
    lot_id = getattr(visits.house, stage)()
    assert f"Sheet {sheet}" in text_of(browser.get(f"/lots/{lot_id}"))


def test_every_sheet_opens_at_every_stage(browser: FlaskClient, visits: Visits) -> None:
    for stage in ("asked", "to_check", "approved", "sent", "accepted", "booked", "treated", "paid"):
        lot_id = getattr(visits.house, stage)(name=stage)
        for sheet in ("takeoff", "quote", "treatment", "invoice", "warranty"):
            answer = browser.get(f"/lots/{lot_id}/{sheet}")
            assert answer.status_code == 200, (stage, sheet)
            assert answer.get_data(as_text=True).count('aria-current="page"') >= 1


def test_the_takeoff_shows_plan_walls_figures_and_their_steps(browser: FlaskClient, visits: Visits) -> None:
    page = browser.get(f"/lots/{visits.house.asked()}/takeoff")
    said = text_of(page)
    assert "plan-drawing" in page.get_data(as_text=True) and "plan__narrow" in page.get_data(as_text=True)
    assert "South side, Main floor 57.00 ft siding on" in said
    assert "Lineal feet 296 ft" in said and "168.00 ft + 128.00 ft = 296.00 ft" in said
    assert "the label is the law" in said.lower() or "label is the law" in said


def test_steps_are_left_out_once_the_rate_book_gives_another_price(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.asked()
    visits.house.enter("rates", {"call_out": "99.00"})
    said = text_of(browser.get(f"/lots/{lot_id}/takeoff"))
    assert "Lineal feet 296 ft" in said and "168.00 ft + 128.00 ft" not in said


def test_what_the_office_still_works_on_is_not_the_builder_s_to_see(
    browser: FlaskClient, visits: Visits
) -> None:
    house = visits.house
    lot_id = house.to_check()
    quoting.add_extra(house.parts, house.office, lot_id, house.version(lot_id), "Porch", "by phone", "85.00")
    house.approved(lot_id)
    said = text_of(browser.get(f"/lots/{lot_id}/quote"))
    assert "There is no quote yet" in said and "Porch" not in said and "approved" not in said


def test_a_quote_shows_its_lines_the_extra_s_reason_and_the_siding_clause(
    browser: FlaskClient, visits: Visits
) -> None:
    """The clause by hand: north 57, west 27 and east 27 ft, not sided, at $0.60: 34.20 + 16.20 + 16.20."""
    house = visits.house
    lot_id = house.to_check()
    quoting.add_extra(
        house.parts, house.office, lot_id, house.version(lot_id), "Porch ceiling", "Asked by phone", "85.00"
    )
    house.sent(house.approved(lot_id))
    said = text_of(browser.get(f"/lots/{lot_id}/quote"))
    assert "Porch ceiling Asked by phone $85.00" in said
    assert "North side, Main floor 57.00 ft $34.20" in said and "adds $0.60 a foot" in said
    assert "The most it can come to $66.60" in said and "Tax 7 %" in said
    assert "EPA registration number 00000-00" in said


def test_a_quote_is_accepted_with_a_typed_name_and_an_order_number(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.sent()
    form = answer_form(browser, lot_id, name="Harriet Finch", purchase_order="PO-77")
    assert browser.post(f"/lots/{lot_id}/quote/accept", data=form).status_code == 302
    accepted = visits.house.sheet(lot_id).accepted
    assert accepted and (accepted.decided_by, accepted.purchase_order) == ("Harriet Finch", "PO-77")
    assert "Purchase order PO-77" in text_of(browser.get(f"/lots/{lot_id}/quote"))


def test_a_double_click_on_accept_accepts_once(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    form = answer_form(browser, lot_id, name="Harriet Finch")
    answers = [browser.post(f"/lots/{lot_id}/quote/accept", data=form).status_code for _press in range(2)]
    assert answers == [302, 302] and visits.house.verbs(lot_id).count("accepted") == 1


def test_accepting_without_a_name_is_told_beside_it_and_the_order_number_stays(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.sent()
    form = answer_form(browser, lot_id, name="  ", purchase_order="PO-77")
    answer = browser.post(f"/lots/{lot_id}/quote/accept", data=form)
    assert answer.status_code == 422
    assert error_at(answer, "name") == "Type your name: it stands on the acceptance."
    again = form_of(answer, f"/lots/{lot_id}/quote/accept")
    assert again["purchase_order"] == "PO-77" and again["once_key"] == form["once_key"]
    assert visits.house.sheet(lot_id).accepted is None


@pytest.mark.parametrize("changes", [{"seen": "0" * 64}, {"seen": ""}])
def test_only_exactly_what_was_seen_can_be_accepted(
    browser: FlaskClient, visits: Visits, changes: dict[str, str]
) -> None:
    lot_id = visits.house.sent()
    form = answer_form(browser, lot_id, name="Harriet Finch") | changes
    answer = browser.post(f"/lots/{lot_id}/quote/accept", data=form)
    assert answer.status_code == 409 and "not the quote that was shown" in text_of(answer)


@pytest.mark.parametrize("revision", ["2", "0", "-1", "x", "", "9" * 30])
def test_a_revision_that_is_none_is_not_there(browser: FlaskClient, visits: Visits, revision: str) -> None:
    lot_id = visits.house.sent()
    form = answer_form(browser, lot_id, name="Harriet Finch") | {"revision": revision}
    assert browser.post(f"/lots/{lot_id}/quote/accept", data=form).status_code == 404
    assert visits.house.sheet(lot_id).accepted is None


def test_a_superseded_revision_is_refused_with_the_way_to_the_newest(
    browser: FlaskClient, visits: Visits
) -> None:
    house = visits.house
    lot_id = house.sent()
    form = answer_form(browser, lot_id, name="Harriet Finch")
    quoting.revise(house.parts, house.office, lot_id, house.version(lot_id))
    house.sent(house.approved(lot_id))
    refused = browser.post(f"/lots/{lot_id}/quote/accept", data=form)
    assert refused.status_code == 409 and "A newer revision has taken the place" in text_of(refused)
    assert "Your answer to Q-2027-0001 rev. 2" in text_of(refused)
    old = browser.get(f"/lots/{lot_id}/quote?revision=1")
    assert "superseded" in text_of(old) and f'href="/lots/{lot_id}/quote"' in old.get_data(as_text=True)
    assert f"/lots/{lot_id}/quote/accept" not in old.get_data(as_text=True)


def test_a_lapsed_quote_is_refused_and_can_be_asked_again(visits: Visits) -> None:
    lot_id = visits.house.sent()
    form = answer_form(visits.by(visits.house.builder), lot_id, name="Harriet Finch")
    visits.house.clock.pass_by(days=31)
    browser = visits.by(visits.house.builder)
    refused = browser.post(f"/lots/{lot_id}/quote/accept", data=form)
    assert refused.status_code == 409 and "has lapsed" in text_of(refused)
    page = browser.get(f"/lots/{lot_id}").get_data(as_text=True)
    assert f'href="/lots/{lot_id}/ask-again"' in page and "quote/accept" not in page


def test_a_quote_is_declined_with_a_reason(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    without = browser.post(f"/lots/{lot_id}/quote/decline", data=answer_form(browser, lot_id, "decline"))
    assert without.status_code == 422 and "Say in a few words why" in error_at(without, "reason")
    form = answer_form(browser, lot_id, "decline", reason="Too dear for this one.")
    assert browser.post(f"/lots/{lot_id}/quote/decline", data=form).status_code == 302
    assert "Reason Too dear for this one." in text_of(browser.get(f"/lots/{lot_id}/quote"))


def test_a_revision_number_that_is_none_is_a_page_that_is_none(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    assert browser.get(f"/lots/{lot_id}/quote?revision=7").status_code == 404
    assert browser.get(f"/lots/{lot_id}/quote?revision=x").status_code == 200


def test_the_treatment_shows_each_wall_as_found_and_each_coat_s_time(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.treated(found={"1.1.E": "sided"})
    said = text_of(browser.get(f"/lots/{lot_id}/treatment"))
    assert "East side, Main floor 27.00 ft siding on" in said and "12:02 PM to 12:04 PM" in said
    assert "Concentrate 3.53 gal" in said and "Wendell Pike, CA-0417" in said


def test_the_invoice_explains_each_difference_and_shows_what_is_open(
    browser: FlaskClient, visits: Visits
) -> None:
    """The east side, 27 ft, was quoted wrapped and found sided: + 27 x 0.60, - 27 x 0.25."""
    lot_id = visits.house.treated(found={"1.1.E": "sided"})
    visits.house.pay(lot_id, "200.00")
    said = text_of(browser.get(f"/lots/{lot_id}/invoice"))
    # By each difference the photo of that wall, under the time it was taken.
    taken = "May 4, 2027, 6:00 PM"
    assert f"East side, Main floor: Siding was on: second coat inside. {taken} 27.00 ft $0.60 $16.20" in said
    assert f"No wrap to pull back. {taken} 27.00 ft $0.25 −$6.75" in said
    assert "Paid $200.00" in said and "check 2288 $200.00" in said and "part paid" in said


def test_the_warranty_shows_number_term_and_the_way_for_whoever_moves_in(
    browser: FlaskClient, visits: Visits
) -> None:
    house = visits.house
    held = text_of(browser.get(f"/lots/{house.treated()}/warranty"))
    assert "held, not yet in force" in held and "comes into force when the invoice is paid in full" in held
    lot_id = house.paid()
    page = browser.get(f"/lots/{lot_id}/warranty")
    warranty = house.warranty(lot_id)
    assert warranty.number in text_of(page) and "Ends May 3, 2037" in text_of(page)
    assert 'href="/warranty"' in page.get_data(as_text=True)
    assert f'href="/lots/{lot_id}/papers/certificate"' in page.get_data(as_text=True)


def test_the_history_names_who_did_what_and_nothing_of_the_office_s_own(
    browser: FlaskClient, visits: Visits
) -> None:
    said = text_of(browser.get(f"/lots/{visits.house.treated()}"))
    assert "Harriet Finch asked for a price" in said and "The invoice was issued: INV-2027-0001" in said
    assert "approved" not in said and "started the quote" not in said


def foreign_in(page: str) -> list[str]:
    """Scripts and event attributes of a page, as a browser would find them."""
    found: list[str] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            found.extend(name for name, _value in attrs if name.startswith("on"))
            own = (dict(attrs).get("src") or "").startswith("/static/js/")
            found.extend([tag] if tag == "script" and not own else [])

    Reader().feed(page)
    return found


@pytest.mark.parametrize(
    "nasty", ["<script>alert(1)</script>", '" onfocus="x', "{{ 7 * 7 }}", "%s %(x)s {y}"]
)
def test_whatever_a_builder_types_is_shown_as_typed(browser: FlaskClient, visits: Visits, nasty: str) -> None:
    house: dict[str, Any] = ranch()
    house["levels"][0]["name"] = nasty
    lot_id = visits.house.sent(name=nasty, notes=nasty, street=nasty, subdivision=nasty, house=house)
    for sheet in ("takeoff", "quote", "change"):
        answer = browser.get(f"/lots/{lot_id}/{sheet}")
        assert answer.status_code == 200
        assert not foreign_in(answer.get_data(as_text=True))
    shown = html.unescape(browser.get(f"/lots/{lot_id}/takeoff").get_data(as_text=True))
    assert nasty in shown


def test_a_page_has_nothing_inline_and_no_script_but_the_one_that_redraws_a_takeoff(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.sent()
    for address in ("/ask", "/lots", f"/lots/{lot_id}/quote", f"/lots/{lot_id}/change", "/papers"):
        answer = browser.get(address)
        page, policy = answer.get_data(as_text=True), answer.headers["Content-Security-Policy"]
        scripts = ["/static/js/takeoff.js"] if address.endswith(("/ask", "/change")) else []
        assert re.findall(r'<script[^>]* src="([^"]*)"></script>', page) == scripts
        assert page.count("<script") == len(scripts) and "<style" not in page and " style=" not in page
        assert ("script-src 'self'" in policy) == bool(scripts) and "default-src 'none'" in policy


def test_a_quote_says_what_is_done_what_to_have_ready_and_what_is_not_in_it(
    browser: FlaskClient, visits: Visits
) -> None:
    """Wall by wall: the case's north and west sides are open, its east side wrapped, its south side sided."""
    lot_id = visits.house.sent(siding_starts=date(2027, 6, 1), insulation_starts=date(2027, 6, 9))
    said = text_of(browser.get(f"/lots/{lot_id}/quote"))
    for line in (
        "North side, Main floor open one inside, one from outside 57.00 ft",
        "East side, Main floor wrapped one inside, one from outside, wrap pulled back and put up again 27.00",
        "South side, Main floor siding on two inside, 20 minutes apart 57.00 ft",
        "Interior walls all faces that are exposed 128.00 ft Exterior and interior walls 296.00 ft",
        "from the sill plate up to 2 ft, sprayed until damp",
        "Have ready, please Floors and plates swept: no sawdust or debris",
        "Outlet and low-voltage boxes covered", "A way in to every wall listed",
        "You told us insulation starts on June 9, 2027: the treatment has to be done before.",
        "Not in this price Walls that are not listed, and wood higher than 2 ft.",
        "Product Borate concentrate A EPA registration number 00000-00",
        "Warranty: Framing warranty Term: 10 years, from the day of treatment. It comes into force when the "
        "invoice is paid in full.",
        "It covers Treating again.", "It is void by Wood cut afterward.", "Holds through Jun 3, 2027",
        "Whoever accepts the quote accepts this with it.",
    ):  # fmt: skip
        assert line in said, line


def test_the_clause_says_the_whole_price_where_no_day_is_given(browser: FlaskClient, visits: Visits) -> None:
    """505.15 with 66.60 more and 6.75 less are 565.00, and 604.55 with 7 % tax, as the invoice would say."""
    lot_id = visits.house.sent()
    said = text_of(browser.get(f"/lots/{lot_id}/quote"))
    assert "the whole price comes to $604.55 instead of $540.51, discount and tax included" in said
    given = text_of(browser.get(f"/lots/{visits.house.sent(siding_starts=date(2027, 6, 1))}/quote"))
    assert "the whole price comes to" not in given and "Price with the siding on $604.55" in given


def test_what_holds_still_can_be_answered_while_a_new_revision_is_drawn_up(
    browser: FlaskClient, visits: Visits
) -> None:
    house, lot_id = visits.house, visits.house.sent()
    quoting.revise(house.parts, house.office, lot_id, house.version(lot_id))
    for sheet in ("takeoff", "quote"):
        said = text_of(browser.get(f"/lots/{lot_id}/{sheet}"))
        assert "Until then revision 1 still holds, through Jun 3, 2027. Answer it" in said
