"""The field pages in the middle of a day: read, pressed with a thumb, in the sun and in the dark."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from portal.acts import entering, treating
from portal.acts.entering import Batch, Sent
from tests.journeys.conftest import watched
from tests.journeys.looking import complaints
from tests.parts.browser import PHONE
from tests.parts.house import PASSWORD, House
from tests.parts.pictures import a_photo
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

Arrive = Callable[[str], Page]


@pytest.fixture
def arrive(lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext]) -> Arrive:
    """`arrive(email)`: a page on which somebody is signed in; their clock is the house's."""
    lite.use_real()
    base = serve(make_visits(lite, csrf=True).app)

    def sign_in(email: str) -> Page:
        context = visitor(base_url=base, viewport=PHONE)
        context.clock.set_fixed_time(lite.clock())
        page = context.new_page()
        page.goto("/sign-in")
        page.get_by_label("Mail address").fill(email)
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        return page

    return sign_in


def send(house: House, job: str, values: dict[str, str]) -> None:
    """Entries of a phone that knows of no other."""
    sent = [
        Sent(str(uuid.uuid4()), n, at, value, (), house.clock())
        for n, (at, value) in enumerate(values.items())
    ]
    entering.take(house.parts, house.technician, job, Batch(str(uuid.uuid4()), house.clock(), sent))


def in_the_middle(house: House) -> tuple[str, str]:
    """A stop on a crawl space, half done: photos taken, a stretch drying, two phones that differ."""
    lot = house.booked(foundation="crawl space")
    job = house.job(lot)
    house.clock.turn_to(house.parts.today(), 8, 30)
    whole = house.entry(lot, {"1.1.N": "wrapped"})
    first = ("arrived", "cautions", "ready", "found", "product", "registration")
    begun = {at: value for at, value in whole.items() if at.startswith(first)}
    send(house, job, begun | {"first.1.1.S.start": "08:10", "first.1.1.S.end": "08:20", "mixed.1": "yes"})
    send(house, job, {"first.1.1.S.end": "08:22"})
    house.photograph(job, ["1.1.N", ""], a_photo((320, 240)))
    return lot, job


def test_a_stop_in_the_middle_of_the_day_reads_and_is_pressed_well(lite: House, arrive: Arrive) -> None:
    lot, job = in_the_middle(lite)
    technician = arrive("wendell@example.com")
    said = watched(technician)
    found = {}

    expect(technician.locator("#ready")).to_have_text("Ready for no signal: 1 stop.")
    found["/stops"] = complaints(technician)
    technician.goto(f"/stops/{job}")
    technician.wait_for_selector("html[data-kept]")
    expect(technician.locator("#coat-clock")).to_contain_text("Spray next: North side")
    found["stop"] = complaints(technician)
    technician.get_by_role("button", name="Mark it treated").click()
    expect(technician.get_by_role("alert").get_by_role("link").first).to_be_visible()
    found["missing"] = complaints(technician)
    office = arrive("terrence@example.com")
    office.goto(f"/office/lots/{lot}/treatment")
    expect(office.get_by_role("heading", name="Two phones entered different things")).to_be_visible()
    found["office"] = complaints(office)

    assert {page: wrong for page, wrong in found.items() if wrong} == {}
    assert said == []
    assert treating.stop(lite.parts, lite.technician, job).state == "on site"


def test_what_is_missing_is_told_at_the_top_and_each_leads_to_its_field(lite: House, arrive: Arrive) -> None:
    _, job = in_the_middle(lite)
    page = arrive("wendell@example.com")
    page.goto(f"/stops/{job}")
    page.wait_for_selector("html[data-kept]")

    page.get_by_role("button", name="Mark it treated").click()

    summary = page.get_by_role("alert")
    expect(summary).to_contain_text("It cannot be marked treated yet. Missing or not right:")
    expect(summary).to_contain_text(
        "Not confirmed: Gone over every section again for missed or light places."
    )
    link = summary.get_by_role("link", name="Missing: your name, as a signature.")
    link.click()
    expect(page.get_by_label("Your name, as a signature")).to_be_in_viewport()


def test_a_wall_tapped_on_the_plan_leads_to_what_it_is_asked_and_is_inked_once_it_is_told(
    lite: House, arrive: Arrive
) -> None:
    job = lite.job(lite.booked())
    page = arrive("wendell@example.com")
    page.goto(f"/stops/{job}")
    page.wait_for_selector("html[data-kept]")
    wall = page.locator('.plan__narrow [data-stretch="E"]')

    wall.dispatch_event("click")
    page.keyboard.press("Space")

    east = page.get_by_role("group", name="East side, Main floor")
    expect(east.get_by_label("Open")).to_be_checked()
    expect(wall).to_have_class("wall wall--wrapped wall--told wall--differs")
    expect(east.locator("xpath=..").get_by_label("Photo of this wall")).to_be_visible()


def test_the_clocks_numbers_are_the_largest_on_the_page(lite: House, arrive: Arrive) -> None:
    _, job = in_the_middle(lite)
    page = arrive("wendell@example.com")
    page.goto(f"/stops/{job}")
    page.wait_for_selector("html[data-kept]")
    page.wait_for_selector(".coat-clock__time")

    sizes = page.evaluate(
        """() => [...document.querySelectorAll("main *")].filter(one => one.checkVisibility())
                   .map(one => [one.className, parseFloat(getComputedStyle(one).fontSize)])"""
    )

    largest = max(size for _, size in sizes)
    assert [name for name, size in sizes if size == largest] == ["coat-clock__time"]
