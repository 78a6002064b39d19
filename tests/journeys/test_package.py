"""Lots put together, sent as one and answered lot by lot, by two people at browsers that run no script.

Three lots of 296 ft each: ANSI/ASHRAE Standard 140 case L100, 168 ft around and 128 ft of interior walls. By
hand: 592 ft of two lots are 300 at $1.45 and 292 at $1.20, $785.40 together and half of it each; that fills
up to the minimum charge of $395, and 7 % of tax make $422.65.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.journeys.looking import complaints
from tests.journeys.people import Visitor, enter
from tests.parts.browser import DESK, PHONE
from tests.parts.house import House
from tests.parts.packages import TOGETHER, asked_for, sent_package
from tests.parts.pdf import bare, text_of
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

Arrive = Callable[[], Visitor]


@pytest.fixture
def arrive(
    lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext], size: dict[str, int]
) -> Arrive:
    """Somebody new at a browser without scripts; the rate book's slices run over a package."""
    lite.use_real()
    lite.enter("rates", TOGETHER)
    base = serve(make_visits(lite, csrf=True).app)
    return lambda: Visitor(visitor(base_url=base, viewport=size, java_script_enabled=False).new_page(), lite)


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_lots_are_put_together_sent_as_one_and_answered_one_and_then_the_rest(
    lite: House, arrive: Arrive
) -> None:
    asked_for(lite, 2)
    office, builder = arrive(), arrive()

    put_together(builder)
    sent(office)
    accepted_one(builder)
    accepted_the_rest(builder)
    told(lite, office, builder)


def put_together(builder: Visitor) -> None:
    builder.sign_in("harriet@example.com")
    builder.follow("Put lots together")
    builder.page.get_by_label("Lot 1, 101 Lime Kiln Lane").check()
    builder.press("Put them together")
    builder.sees("Choose two lots at least.", "Give the package a name")
    expect(builder.page.get_by_label("Lot 1, 101 Lime Kiln Lane")).to_be_checked()
    builder.page.get_by_label("Lot 2, 102 Lime Kiln Lane").check()
    enter(builder.page, Name_of_the_package="Lime Kiln Lane")
    builder.press("Put them together")
    assert builder.heading() == "Lime Kiln Lane"
    builder.sees("Package P-2027-0001", "592 ft", "$845.30", "Until the quotes are sent the prices are")


def sent(office: Visitor) -> None:
    office.sign_in("terrence@example.com")
    office.follow("P-2027-0001, Lime Kiln Lane")
    office.press("Start 2 quotes")
    office.sees("2 quotes are started.")
    office.press("Approve 2 quotes")
    office.sees("2 quotes are approved.", "$422.65", "$459.24")
    office.press("Send 2 quotes")
    office.sees("2 quotes are sent. The builder has one letter of them.", "Package P-2027-0001, issue 1")


def accepted_one(builder: Visitor) -> None:
    builder.open_letter("harriet@example.com", "P-2027-0001")
    builder.sees("2 lots are to be answered, at $845.30 for all of them.")
    enter(builder.page, Your_name="Harriet Finch")
    builder.press("Accept the lots ticked")
    builder.sees("Tick the lots that you answer for.")
    builder.page.get_by_label("Lot 2", exact=True).check()
    builder.press("Accept the lots ticked")
    builder.sees("One lot is accepted.", "One lot is to be answered, at $422.65.")
    expect(builder.page.get_by_label("Lot 2", exact=True)).to_have_count(0)


def accepted_the_rest(builder: Visitor) -> None:
    enter(builder.page, Your_name="Harriet Finch", Purchase_order_number="PO 77")
    builder.press("Accept the one lot: $422.65")
    builder.sees("One lot is accepted.", "In all", "$845.30")
    expect(builder.page.get_by_role("form", name="Your answer")).to_have_count(0)


def told(lite: House, office: Visitor, builder: Visitor) -> None:
    assert lite.verbs().count("accepted") == 2
    builder.follow("Lot 1, 101 Lime Kiln Lane")
    builder.sees(
        "In package P-2027-0001, Lime Kiln Lane",
        "The slices of the treatment run over the 592.00 ft of 2 lots",
    )
    builder.follow("P-2027-0001, Lime Kiln Lane")
    cover = bare(text_of(builder.paper("Package P-2027-0001, issue 1")))
    assert bare("Q-2027-0001 rev. 1") in cover and bare("$845.30") in cover
    office.page.goto("/office/lots")
    office.sees("P-2027-0001")


@pytest.mark.parametrize("size", [DESK], ids=["desk"])
def test_a_package_that_says_what_is_wrong_is_looked_over_like_every_page(
    lite: House, arrive: Arrive, visitor: Callable[..., BrowserContext]
) -> None:
    package_id = sent_package(lite)
    somebody = arrive()
    somebody.sign_in("harriet@example.com")
    base = somebody.page.url.partition("/lots")[0]
    scripted = visitor(base_url=base)
    scripted.add_cookies(somebody.page.context.cookies())  # type: ignore[arg-type]
    page = scripted.new_page()

    page.goto(f"/packages/{package_id}")
    assert complaints(page) == []
    page.get_by_label("Lot 2", exact=True).check()
    page.get_by_role("button", name="Accept the lots ticked").click()
    expect(page.get_by_text("One thing needs another look")).to_be_visible()
    expect(page.get_by_label("Lot 2", exact=True)).to_be_checked()
    assert complaints(page) == []
