"""What goes wrong among people and browsers: pressed twice, gone back, too late, two at once, not theirs."""

from __future__ import annotations

import urllib.parse
import urllib.request
from collections.abc import Callable
from http.client import HTTPConnection
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import BrowserContext, Locator, expect

from portal.store.tables import Job
from tests.journeys.looking import complaints
from tests.journeys.people import Visitor, enter, labelled
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.web.visits import make_visits

pytestmark = pytest.mark.journey

Arrive = Callable[[str], Visitor]


@pytest.fixture
def arrive(lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext]) -> Arrive:
    """`arrive("harriet")`: somebody of the house, signed in, at a browser of their own; "" for nobody."""
    base = serve(make_visits(lite, csrf=True).app)

    def come(name: str) -> Visitor:
        one = Visitor(visitor(base_url=base).new_page(), lite)
        if name:
            one.sign_in(f"{name}@example.com")
        return one

    return come


def accept_form(builder: Visitor, lot_id: str) -> Locator:
    """The form that accepts a lot's quote, filled."""
    builder.page.goto(f"/lots/{lot_id}/quote")
    form = builder.page.get_by_role("form", name="Accept")
    enter(form, Your_name="Harriet Finch", Purchase_order_number="PO-9")
    return form


def accepted_once(house: House, lot_id: str) -> bool:
    """Whether there is one job and one line of history for it."""
    return house.verbs(lot_id).count("accepted") == 1 and house.rows(Job) == 1


def test_a_double_click_on_accept_accepts_once(lite: House, arrive: Arrive) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    form = accept_form(builder, lot_id)

    form.get_by_role("button", name="Accept").dblclick()

    builder.sees("Accepted. The office books the day", "PO-9")
    assert accepted_once(lite, lot_id)


def test_the_same_form_sent_twice_at_the_same_moment_is_done_once(lite: House, arrive: Arrive) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    form = accept_form(builder, lot_id)
    typed = {one.get_attribute("name") or "": one.input_value() for one in form.locator("input").all()}
    cookies = "; ".join(f"{one['name']}={one['value']}" for one in builder.page.context.cookies())
    where = urlsplit(builder.page.url)

    def post() -> tuple[int, str | None]:
        asked = HTTPConnection(where.netloc, timeout=20)
        kind = {"Cookie": cookies, "Content-Type": "application/x-www-form-urlencoded"}
        asked.request("POST", f"/lots/{lot_id}/quote/accept", urllib.parse.urlencode(typed), kind)
        answer = asked.getresponse()
        asked.close()
        return answer.status, answer.getheader("Location")

    first, second = at_once(post, post)

    assert first == second == (302, f"/lots/{lot_id}/quote")
    assert accepted_once(lite, lot_id)


def test_going_back_after_accepting_offers_nothing_to_accept_again(lite: House, arrive: Arrive) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    accept_form(builder, lot_id).get_by_role("button", name="Accept").click()
    builder.sees("Accepted.")

    builder.page.go_back()

    expect(builder.page.get_by_role("button", name="Accept")).to_have_count(0)
    builder.sees("accepted", "PO-9")
    assert accepted_once(lite, lot_id)


def test_a_second_tab_that_still_offers_the_quote_is_told_that_it_is_answered(
    lite: House, arrive: Arrive
) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    other = Visitor(builder.page.context.new_page(), lite)
    still_open = accept_form(other, lot_id)
    accept_form(builder, lot_id).get_by_role("button", name="Accept").click()
    builder.sees("Accepted.")

    still_open.get_by_role("button", name="Accept").click()

    expect(other.page.get_by_role("alert").first).to_contain_text("accepted")
    assert accepted_once(lite, lot_id)


def test_the_second_of_two_office_people_is_told_who_was_first_and_keeps_what_was_typed(
    lite: House, arrive: Arrive
) -> None:
    lot_id = lite.to_check()
    first, second = arrive("odile"), arrive("terrence")
    for one in (first, second):
        one.page.goto(f"/office/lots/{lot_id}/quote")
    enter(first.page, What_it_is_for="Stairs", Reason="By brush", Amount="85")
    enter(second.page, Remarks_on_the_quote="Treated before the stairs go in.")

    first.press("Add this line")
    first.sees("The line is added.")
    second.press("Approve takeoff and price")

    second.sees("Odile Marchbank added an extra line in the meantime", "Stairs")
    expect(labelled(second.page, "Remarks on the quote")).to_have_value("Treated before the stairs go in.")
    assert lite.sheet(lot_id).revisions[0].state == "to check"
    second.press("Approve takeoff and price")
    second.sees("Approved. It can be sent.")


def test_the_second_of_two_who_correct_a_takeoff_keeps_every_length_that_was_typed(
    lite: House, arrive: Arrive
) -> None:
    lot_id = lite.to_check()
    first, second = arrive("odile"), arrive("terrence")
    for one, length in ((first, "130'"), (second, "144'")):
        one.page.goto(f"/office/lots/{lot_id}/correct")
        enter(one.page, Interior_walls=length)
        one.press("Work it out")

    first.press("Keep the corrected takeoff")
    first.sees("The takeoff is corrected.")
    second.press("Keep the corrected takeoff")

    second.sees("Odile Marchbank changed this lot in the meantime")
    expect(labelled(second.page, "Interior walls")).to_have_value("144'")
    second.press("Keep the corrected takeoff")
    second.sees("The takeoff is corrected.")
    assert lite.sheet(lot_id).takeoff.estimate["feet"]["interior"] == "144.00"


def test_a_superseded_revision_in_an_old_tab_is_refused_with_a_way_to_the_newest(
    lite: House, arrive: Arrive
) -> None:
    from portal.acts import quoting

    lot_id, builder = lite.sent(), arrive("harriet")
    old = accept_form(builder, lot_id)
    quoting.revise(lite.parts, lite.office, lot_id, lite.version(lot_id))
    quoting.add_extra(lite.parts, lite.office, lot_id, lite.version(lot_id), "Stairs", "By brush", "85")
    lite.sent(lite.approved(lot_id))

    old.get_by_role("button", name="Accept").click()

    expect(builder.page.get_by_role("alert").first).to_contain_text("newer revision")
    assert lite.verbs(lot_id).count("accepted") == 0
    builder.page.goto(f"/lots/{lot_id}/quote?revision=1")
    builder.follow("Open the newest")
    builder.sees("Stairs", "rev. 2")
    accept_form(builder, lot_id).get_by_role("button", name="Accept").click()
    builder.sees("Accepted.")
    assert accepted_once(lite, lot_id)


def test_a_lapsed_quote_in_an_old_tab_is_refused_and_can_be_asked_again(lite: House, arrive: Arrive) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    old = accept_form(builder, lot_id)
    # A sign-in ends after 14 days unseen; whoever works here every day stays signed in.
    for _week in range(5):
        lite.clock.pass_by(days=7)
        builder.page.context.request.get("/lots")

    old.get_by_role("button", name="Accept").click()

    expect(builder.page.get_by_role("alert").first).to_contain_text("lapsed")
    assert lite.verbs(lot_id).count("accepted") == 0
    builder.follow("Ask again")
    builder.press("Ask again for this price")
    builder.sees("Asked again.")


def test_another_builders_lot_is_no_page_at_all(lite: House, arrive: Arrive) -> None:
    lot_id = lite.sent()
    for name in ("bram", "wendell"):
        stranger = arrive(name)
        for path in (f"/lots/{lot_id}", f"/lots/{lot_id}/papers/quote/1", f"/lots/{lot_id}/ask-again"):
            answer = stranger.page.goto(path)
            assert answer is not None and answer.status == 404
            assert stranger.heading() == "Not on this set of sheets"
            assert "Lime Kiln" not in stranger.says()


@pytest.mark.parametrize(
    "wanted", ["//evil.example.net/", "https://evil.example.net/", "/\\evil.example.net"]
)
def test_signing_in_never_leads_to_another_site(arrive: Arrive, wanted: str) -> None:
    builder = arrive("")
    builder.page.goto("/sign-in?next=" + urllib.parse.quote(wanted, safe=""))

    enter(builder.page, Mail_address="harriet@example.com", Password="framing before drywall")
    builder.press("Sign in")

    assert builder.heading() == "Our lots"
    assert urlsplit(builder.page.url).hostname == "127.0.0.1"


def test_signing_in_goes_on_to_the_page_that_was_asked_for(lite: House, arrive: Arrive) -> None:
    lot_id, builder = lite.sent(), arrive("")
    builder.page.goto(f"/lots/{lot_id}/quote")

    enter(builder.page, Mail_address="harriet@example.com", Password="framing before drywall")
    builder.press("Sign in")

    assert builder.page.url.endswith(f"/lots/{lot_id}/quote")


def test_a_form_sent_after_the_sign_in_has_ended_says_so_and_does_nothing(
    lite: House, arrive: Arrive
) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    form = accept_form(builder, lot_id)
    lite.clock.pass_by(days=15)

    form.get_by_role("button", name="Accept").click()

    assert builder.heading() == "Your sign-in is over"
    builder.sees("Nothing was done.", "PO-9")
    assert lite.verbs(lot_id).count("accepted") == 0
    builder.follow("Sign in")
    assert builder.heading() == "Sign in"


def test_a_form_sent_after_signing_out_in_another_tab_says_so_and_does_nothing(
    lite: House, arrive: Arrive
) -> None:
    lot_id, builder = lite.sent(), arrive("harriet")
    form = accept_form(builder, lot_id)
    Visitor(builder.page.context.new_page(), lite).page.goto("/lots")
    other = Visitor(builder.page.context.pages[-1], lite)
    other.press("Sign out")

    form.get_by_role("button", name="Accept").click()

    builder.sees("Nothing was done.", "PO-9")
    assert lite.verbs(lot_id).count("accepted") == 0


def test_names_without_end_or_space_fit_every_screen(lite: House, arrive: Arrive) -> None:
    endless = {"name": "Lot " + "W" * 60, "street": "Longstreetname" * 9,
               "town": "T" * 80, "subdivision": "Quarry-Bend-" * 8, "notes": "n" * 400}  # fmt: skip
    lot_id = lite.booked(lite.accepted(purchase_order="P" * 50, **endless))
    builder, office, technician = arrive("harriet"), arrive("terrence"), arrive("wendell")

    wrong = []
    for one, paths in (
        (builder, ("/lots", f"/lots/{lot_id}/takeoff", f"/lots/{lot_id}/quote", "/papers")),
        (office, ("/office/lots", "/office/crew-days", f"/office/lots/{lot_id}/treatment")),
        (technician, ("/stops", f"/stops/{lite.job(lot_id)}")),
    ):
        for path in paths:
            one.page.goto(path)
            wrong += [f"{path}: {complaint}" for complaint in complaints(one.page)]

    assert not wrong, "\n".join(wrong)
