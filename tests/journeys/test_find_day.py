"""Days found and booked by the office, and loaded for, at a browser that runs no script."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import BrowserContext

from tests.journeys.people import Visitor
from tests.parts.browser import DESK, PHONE
from tests.parts.house import House
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]


@pytest.fixture
def office(
    lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext], size: dict[str, int]
) -> Visitor:
    """Terrence at a browser without scripts, with lots of two builders to book."""
    lite.use_real()
    today = lite.parts.today()
    for number, (framed, siding, shut) in enumerate([(1, 6, 9), (2, 3, 9), (0, 8, 13), (3, 20, 30)], 7):
        window = {"framing_done": framed, "siding_starts": siding, "insulation_starts": shut}
        lite.accepted(name=f"Lot {number}", **{key: today + timedelta(days) for key, days in window.items()})
    lite.accepted(name="Lot 11", insulation_starts=today, subdivision="")
    base = serve(make_visits(lite, csrf=True).app)
    who = Visitor(visitor(base_url=base, viewport=size, java_script_enabled=False).new_page(), lite)
    who.sign_in("terrence@example.com")
    return who


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_days_are_found_one_is_left_and_the_others_are_booked(
    lite: House, office: Visitor, size: dict[str, int]
) -> None:
    office.follow("Crew days")
    office.follow("Find a day for all that have none")
    office.sees("Cannot be kept", "Its window is over", "Days that were found", "of the same subdivision")

    office.page.get_by_label("Lot 10, 104 Lime Kiln Lane", exact=True).uncheck()
    office.press("Book these")
    office.sees("3 lots are booked.")

    office.follow("Find a day for all that have none")
    office.press("Book Lot 10, 104 Lime Kiln Lane by itself")
    office.sees("One lot is booked.", "No day could be found for any of them.")
    assert office.page.evaluate("document.documentElement.scrollWidth") <= size["width"]


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_what_is_booked_is_loaded_from_the_technician_s_sheet(
    lite: House, office: Visitor, size: dict[str, int]
) -> None:
    for name in ("Lot 21", "Lot 22"):
        lite.booked(name=name, foundation="crawl space")
    office.page.get_by_role("button", name="Sign out").click()
    technician = Visitor(office.page, lite)
    technician.sign_in("wendell@example.com")

    technician.follow("Load sheet for Tue, May 4")
    technician.sees("2 stops of Wendell Pike.", "1 of 5 gal", "1 × Respirators", "Lot 22")

    assert b"%PDF" in technician.paper("Load sheet to print (PDF)")[:8]
    assert technician.page.evaluate("document.documentElement.scrollWidth") <= size["width"]
