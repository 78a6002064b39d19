"""A homeowner finds a warranty, or asks for a lost number; without a script, and on one printed page."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext
from pypdf import PdfReader

from portal.acts import losing
from portal.acts.reporting import TroubleTyped, report
from seed_demo.scenario import cast, houses
from tests.journeys.looking import complaints
from tests.journeys.people import Visitor, enter
from tests.parts.house import House
from tests.parts.warranties import owned
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

Arrive = Callable[..., Visitor]


@pytest.fixture
def arrive(lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext]) -> Arrive:
    """A homeowner at a browser that runs no script."""
    lite.use_real()
    base = serve(make_visits(lite, csrf=True).app)
    return lambda: Visitor(visitor(base_url=base, java_script_enabled=False).new_page(), lite)


def test_a_warranty_is_found_without_a_script_and_prints_on_one_page(lite: House, arrive: Arrive) -> None:
    lot = lite.paid(house_number="12-B")
    number = lite.warranty(lot).number
    home = arrive()
    home.page.goto("/warranty")
    enter(home.page, Warranty_number=number, House_number="14")
    home.press("Find it")
    home.sees("No such pair is known.")
    assert home.page.get_by_label("Warranty number").input_value() == number

    enter(home.page, House_number="12 b")
    home.press("Find it")

    home.sees(number, "In force from May 4, 2027 through May 3, 2037.", "Borate concentrate A")
    prints_whole(home, number, times=0)

    for _one in range(14):  # years on
        lite.clock.pass_by(days=200)
        token = lite.warranty(lot).link.rpartition("/")[2]
        typed = TroubleTyped("A soft sill.", "Ada Roe", "ada@example.org", "")
        report(lite.parts, token, typed, (), "203.0.113.17", lite.key())
    home.page.reload()
    prints_whole(home, number, times=14)


def prints_whole(home: Visitor, number: str, times: int) -> None:
    """On one sheet of either paper, from its head to its title block, with its whole past."""
    for paper in ("Letter", "A4"):
        printed = PdfReader(io.BytesIO(home.page.pdf(format=paper)))
        assert len(printed.pages) == 1, paper
        said = " ".join(printed.pages[0].extract_text().split())
        assert said.count("Trouble was reported.") == times
        for told in (number, "What is covered", "The house was treated.", "promises by its terms"):
            assert told in said, (paper, told)


def test_two_stories_full_terms_and_a_long_past_print_on_one_page(lite: House, arrive: Arrive) -> None:
    lite.enter("terms", cast.TERMS)
    lot = owned(lite, lite.paid(house=houses.TWO_STORY))
    link = lite.warranty(lot).link
    said = TroubleTyped("A soft sill.", "Ivo Roe", "ivo@example.org", "")
    for n in range(5):
        report(lite.parts, link.rpartition("/")[2], said, (), f"203.0.113.{n}", lite.key())
        lite.clock.pass_by(days=2)
    home = arrive()
    home.page.goto(link.removeprefix(lite.settings.base_url))
    home.sees("First floor", "Second floor", "What narrows it", "Renewed", "Handed on")
    assert home.page.get_by_text("Trouble was reported.").count() == 5

    prints_whole(home, lite.warranty(lot).number, times=5)


def test_a_lost_number_comes_by_mail_and_opens_the_warranty(lite: House, arrive: Arrive) -> None:
    lot = owned(lite, lite.paid(house_number="112", street="North Ferry Oak Court"))
    home = arrive()
    home.page.goto("/warranty")
    home.follow("The number is lost")
    enter(home.page, House_number="112", Street="N. Ferry Oak Ct", ZIP_code="52999-0123",
          Month_of_closing="last spring")  # fmt: skip
    home.press("Ask for the number")
    home.sees("“last spring” is no month.")
    enter(home.page, Month_of_closing="May 2027")
    home.press("Ask for the number")
    assert home.heading() == "Asked"
    assert "112" not in home.says()

    assert losing.answer_lost_numbers(lite.parts) == 1  # the worker's next look

    text = home.open_letter("ada@example.org", "warranty number")
    number = lite.warranty(lot).number
    assert number in text and "House number: 112" in text
    home.sees(number, "112 North Ferry Oak Court")


@pytest.mark.parametrize("path", ["/warranty", "/warranty/lost", "/warranty/lost/asked"])
def test_its_pages_look_right_at_every_size(
    lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext], path: str
) -> None:
    page = visitor(base_url=serve(make_visits(lite, csrf=True).app)).new_page()
    page.goto(path)
    assert complaints(page) == []
