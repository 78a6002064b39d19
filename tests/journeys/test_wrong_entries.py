"""Pages that say what is wrong: looked over like every other, and nothing typed is lost on them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import Come, watched
from tests.journeys.looking import complaints
from tests.journeys.people import enter, open_full_form
from tests.parts.demo import Demo
from tests.parts.every_page import every_page

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

LONG = "Wrenfield-Abernathy-Ostrander & Daughters Custom Framing, Restoration and General Contracting"


def sign_in(page: Page) -> None:
    enter(page, Mail_address="nobody@example.com", Password="not it")
    page.get_by_role("button", name="Sign in", exact=True).click()


def ask(page: Page) -> None:
    open_full_form(page)
    enter(page, Lot=LONG, Width="32' 14\"", Interior_walls="-3")
    page.get_by_role("button", name="Work it out").last.click()


def answer(page: Page) -> None:
    page.get_by_role("button", name="Accept").click()


def add_extra(page: Page) -> None:
    enter(page, What_it_is_for=LONG, Amount="lots")
    page.get_by_role("button", name="Add this line").click()


def book(page: Page) -> None:
    page.get_by_role("button", name="Book this day").click()


def pay(page: Page) -> None:
    enter(page, Amount="a few dollars", Reference=LONG)
    page.get_by_role("button", name="Record this payment").click()


def invite(page: Page) -> None:
    enter(page, Name=LONG)
    page.get_by_role("button", name="Send the invitation").click()


def new_rates(page: Page) -> None:
    page.get_by_label("Tax").first.fill("a tenth")
    page.get_by_role("button", name="See what it changes").click()


def mark_treated(page: Page) -> None:
    enter(page, Concentrate="616", Conditions=LONG)
    page.get_by_role("button", name="Mark it treated").click()


def find(page: Page) -> None:
    enter(page, Warranty_number=LONG, House_number="9")
    page.get_by_role("button", name="Find it").click()


def nowhere(page: Page) -> None:
    page.goto("/no/such/page")


#: Who does what wrong where: a name of the demo's people, the number of a lot in the path.
WRONG: tuple[tuple[str, str, Callable[[Page], None]], ...] = (
    ("", "/sign-in", sign_in), ("", "/warranty", find), ("", "/sign-in", nowhere),
    ("Harriet", "/ask", ask), ("Harriet", "/lots/{7}/quote", answer),
    ("Odile", "/office/lots/{11}/quote", add_extra), ("Odile", "/office/lots/{6}/treatment", book),
    ("Odile", "/office/lots/{3}/invoice", pay), ("Odile", "/office/people", invite),
    ("Odile", "/office/rates/rates", new_rates), ("Wendell", "/stops", mark_treated),
)  # fmt: skip


@pytest.mark.parametrize(("who", "path", "do"), WRONG, ids=lambda one: getattr(one, "__name__", None))
def test_a_page_that_refuses_says_so_fits_and_reads(
    demo: Demo, come: Come, who: str, path: str, do: Callable[[Page], None]
) -> None:
    page = come(who)
    page.goto(address(demo, path, do))
    said = watched(page)

    do(page)

    refused = [line for line in said if "the server responded with a status of 4" not in line]
    assert complaints(page) + refused == []
    if do is not nowhere:
        expect(page.get_by_role("alert").first).to_be_visible()
    if do not in (sign_in, answer, book, new_rates, nowhere):
        assert LONG in [one.input_value() for one in page.locator("main input, main textarea").all()]


def address(demo: Demo, path: str, do: Callable[[Page], None]) -> str:
    """The path with the ids of its lots."""
    if do is mark_treated:
        return next(visit.path for visit in every_page(demo) if visit.endpoint == "field.stop")
    start, _, rest = path.partition("{")
    number, _, end = rest.partition("}")
    return start + demo.lot(int(number)) + end if number else path
