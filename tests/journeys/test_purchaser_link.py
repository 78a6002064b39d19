"""A quote answered without an account, through the link in a letter; and every way that link can be over."""

from __future__ import annotations

import re
import urllib.parse
from collections.abc import Callable
from datetime import timedelta
from http.client import HTTPConnection
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import BrowserContext, Locator

from portal.acts.second_person import set_second_over
from portal.store.tables import Consent, Job
from tests.journeys.looking import complaints
from tests.journeys.people import Arrive, Visitor, at_the_portal, enter, labelled
from tests.parts.at_once import at_once
from tests.parts.browser import DESK, PHONE
from tests.parts.house import House
from tests.parts.links import PIA, mailed
from tests.parts.pdf import bare, text_of
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]


@pytest.fixture
def arrive(lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext]) -> Arrive:
    """`arrive("harriet")`: somebody of the house, signed in, at a browser of their own; "" for nobody."""
    lite.use_real()
    return at_the_portal(lite, serve(make_visits(lite, csrf=True).app), visitor)


def mail_link(builder: Visitor, lot: str) -> None:
    """The builder names Pia Holm on the quote's sheet."""
    builder.page.goto(f"/lots/{lot}/quote")
    builder.page.locator("summary", has_text="Mail a link to a purchaser").click()
    enter(builder.page, Name_of_the_purchaser="Pia Holm", Mail_address=PIA)
    builder.press("Mail the link")
    builder.sees(f"The link is on its way to {PIA}.", "Pia Holm", "not yet", "not answered")


def accept_form(purchaser: Visitor) -> Locator:
    """The form that accepts, filled."""
    form = purchaser.page.get_by_role("form", name="Accept")
    enter(form, Your_name="Pia Holm", Purchase_order_number="PO-9")
    return form


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_purchaser_accepts_through_the_letter_without_a_script(
    lite: House, arrive: Arrive, size: dict[str, int]
) -> None:
    lot = lite.sent()
    plain = {"viewport": size, "java_script_enabled": False}
    builder, purchaser = arrive("harriet", **plain), arrive("", **plain)

    mail_link(builder, lot)
    purchaser.open_letter(PIA, "asks you to answer quote")
    total = f"${lite.sheet(lot).revisions[0].total:,}"
    purchaser.sees("A quote by Trestle Wood Care for Harrow & Finch Homes.", "For Pia Holm.", total)
    quote = text_of(purchaser.paper("The quote as a paper (PDF)"))
    assert "Q-2027-0001 rev. 1" in quote
    purchaser.press("Accept")
    purchaser.sees("Type your name: it stands on the acceptance.")
    accept_form(purchaser).get_by_role("button", name="Accept").click()
    purchaser.sees("Accepted. Thank you.", "Your answer", "Pia Holm", "PO-9")

    builder.page.goto(f"/lots/{lot}/quote")
    builder.sees("accepted", "Pia Holm accepted the quote through a mailed link", PIA)
    paper = bare(text_of(builder.paper(re.compile("^Acceptance"))))
    fingerprint = lite.sheet(lot).revisions[0].fingerprint
    for words in (
        "Pia Holm",
        f"through a link mailed to {PIA} by Harriet Finch",
        "PO-9",
        "Revision 1",
        fingerprint,
    ):
        assert bare(words) in paper, words


def test_a_double_click_accepts_once(lite: House, arrive: Arrive) -> None:
    lot, purchaser = lite.sent(), arrive()
    purchaser.page.goto(f"/quote/{mailed(lite, lot)}")

    accept_form(purchaser).get_by_role("button", name="Accept").dblclick()

    purchaser.sees("Your answer", "PO-9")
    assert (lite.rows(Job), lite.rows(Consent)) == (1, 1)


def sending(one: Visitor, form: Locator) -> Callable[[], int]:
    """The form as the browser would send it, to be sent when it is called; answers the status."""
    typed = {field.get_attribute("name") or "": field.input_value() for field in form.locator("input").all()}
    cookies = "; ".join(f"{kept['name']}={kept['value']}" for kept in one.page.context.cookies())
    where, path = urlsplit(one.page.url).netloc, form.get_attribute("action") or ""

    def post() -> int:
        asked = HTTPConnection(where, timeout=20)
        kind = {"Cookie": cookies, "Content-Type": "application/x-www-form-urlencoded"}
        asked.request("POST", path, urllib.parse.urlencode(typed), kind)
        status = asked.getresponse().status
        asked.close()
        return status

    return post


def test_purchaser_and_builder_at_the_same_moment_make_one_acceptance(lite: House, arrive: Arrive) -> None:
    lot, purchaser, builder = lite.sent(), arrive(), arrive("harriet")
    purchaser.page.goto(f"/quote/{mailed(lite, lot)}")
    builder.page.goto(f"/lots/{lot}/quote")
    own = builder.page.get_by_role("form", name="Accept", exact=True)
    enter(own, Your_name="Harriet Finch")

    found = at_once(sending(purchaser, accept_form(purchaser)), sending(builder, own))

    # The first is led on to what was answered; the second is told, and did nothing.
    assert sorted(found) in ([302, 410], [303, 409])
    assert (lite.rows(Job), lite.rows(Consent)) == (1, 1)


def test_two_of_the_company_give_the_second_yes_at_the_same_moment(lite: House, arrive: Arrive) -> None:
    for name in ("Otto Lind", "Mara Tell"):
        lite.person("builder", name, company_id=lite.builder.company_id, rights={"accept"})
    set_second_over(lite.parts, lite.builder, "100")
    lot = lite.sent()
    purchaser, otto, mara = arrive(), arrive("otto"), arrive("mara")
    purchaser.page.goto(f"/quote/{mailed(lite, lot)}")
    accept_form(purchaser).get_by_role("button", name="Accept").click()
    purchaser.sees("yes, the first of two")
    forms = []
    for one, name in ((otto, "Otto Lind"), (mara, "Mara Tell")):
        one.page.goto(f"/lots/{lot}/quote")
        one.sees("One yes of two, by Pia Holm", "Yours would be the second yes.")
        form = one.page.get_by_role("form", name="Accept", exact=True)
        assert labelled(form, "Purchase order number").input_value() == "PO-9"
        enter(form, Your_name=name)
        forms.append(sending(one, form))

    found = at_once(*forms)

    assert sorted(found) == [302, 409]
    assert (lite.rows(Job), lite.rows(Consent)) == (1, 2)
    purchaser.page.reload()
    purchaser.sees("Your answer", "accepted")


def test_an_expired_a_withdrawn_and_another_quotes_link(lite: House, arrive: Arrive) -> None:
    lot, other = lite.sent(), lite.sent()
    purchaser, builder = arrive(), arrive("harriet")
    token = mailed(lite, lot, until=lite.parts.today() + timedelta(days=2))
    page = purchaser.page
    page.goto(f"/quote/{token}")
    form = accept_form(purchaser)

    # Another quote's: what is typed under one link is not taken by the other.
    second = mailed(lite, other, email="ivo@purchaser.example.org", name="Ivo Lath")
    form.evaluate("(form, path) => form.action = path", f"/quote/{second}/accept")
    form.get_by_role("button", name="Accept").click()
    purchaser.sees("This is not the quote that was shown.", "For Ivo Lath.")
    assert {lite.sheet(one).stage for one in (lot, other)} == {"sent"}

    # Withdrawn, while it was being read.
    builder.page.goto(f"/lots/{other}/quote")
    builder.press("Withdraw the link to Ivo Lath")
    builder.sees("The link is withdrawn: it opens nothing any more.")
    accept_form(purchaser).get_by_role("button", name="Accept").click()
    purchaser.sees("This link is over", "This link was withdrawn")
    wrong = complaints(page)

    # Expired.
    lite.clock.pass_by(days=3)
    page.goto(f"/quote/{token}")
    purchaser.sees("This link is over", "The time of this link is over.")
    wrong += complaints(page)
    assert "Lime Kiln" not in purchaser.says() and "$" not in purchaser.says()

    # No link at all.
    page.goto(f"/quote/{token[:-2]}")
    purchaser.sees("No quote here")
    wrong += complaints(page)
    assert not wrong, wrong
    assert {lite.sheet(one).stage for one in (lot, other)} == {"sent"}
