"""Crew days at a browser: a stop dragged, moved by the keyboard, and booked by the form without a script."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import Come, watched

pytestmark = pytest.mark.journey

STOP = ".plan__wide .chart__stop[data-name='{}']"


def at_day(page: Page, n: int) -> float:
    """How far from the left of the window the middle of the chart's day n stands."""
    return float(page.evaluate(
        """n => { const svg = document.querySelector('.plan__wide svg'), m = svg.getScreenCTM();
        return m.e + m.a * (Number(svg.dataset.left) + (n + 0.5) * Number(svg.dataset.aDay)); }""", n
    ))  # fmt: skip


def drag(page: Page, lot: str, n: int, technician: str = "") -> None:
    """Drag a lot's stop to day n of the chart, in its row or down to a technician's line."""
    box = page.locator(STOP.format(lot)).bounding_box()
    assert box is not None
    start = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    to = start[1]
    if technician:
        line = page.locator(f".plan__wide .chart__line[data-name='{technician}']").bounding_box()
        assert line is not None
        to = line["y"] + line["height"] / 2
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(at_day(page, n), to, steps=6)
    page.mouse.up()


def test_a_stop_is_dragged_onto_a_technicians_day_and_booked(come: Come) -> None:
    page = come("Odile")
    said = watched(page)
    page.goto("/office/crew-days")

    drag(page, "Lot 6", 8, "Wendell Pike")  # Tuesday of next week

    expect(page.locator("#main")).to_contain_text("Booked. The builder and the technician are told by mail.")
    stop = page.locator(STOP.format("Lot 6"))
    says = "Lot 6: booked for Tuesday, May 11, 2027, Wendell Pike. Move it"
    expect(stop).to_have_attribute("aria-label", says)
    assert said == []


def test_a_stop_that_is_dragged_to_another_day_asks_why(come: Come) -> None:
    page = come("Odile")
    page.goto("/office/crew-days")

    drag(page, "Lot 5", 9)

    expect(page.get_by_label("Why, where it is moved")).to_be_focused()
    expect(page.locator("#crew-day")).to_have_value("2027-05-12")
    page.keyboard.type("the w")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Book this day").click()
    expect(page.locator(STOP.format("Lot 5"))).to_have_attribute(
        "aria-label", "Lot 5: booked for Wednesday, May 12, 2027, Wendell Pike. Move it"
    )


def test_a_stop_is_booked_by_arrows_and_enter_alone(come: Come) -> None:
    page = come("Odile")
    page.goto("/office/crew-days")
    page.locator(STOP.format("Lot 33")).focus()

    for key in ("ArrowRight", "ArrowRight", "ArrowDown"):
        page.keyboard.press(key)
    say = page.locator("#chart-say")
    expect(say).to_contain_text("Lot 33: Tuesday, May 4, 2027, Rosa Imber. Press Enter to book")
    page.keyboard.press("Escape")
    expect(say).to_have_text("Left as it was.")
    for key in ("ArrowRight", "ArrowRight", "ArrowRight", "ArrowRight", "ArrowDown", "Enter"):
        page.keyboard.press(key)

    stop = page.locator(STOP.format("Lot 33"))
    says = "Lot 33: booked for Thursday, May 6, 2027, Rosa Imber. Move it"
    expect(stop).to_have_attribute("aria-label", says)


def test_without_a_script_a_stop_leads_to_its_form_and_is_booked_by_it(come: Come) -> None:
    page = come("Odile", java_script_enabled=False)
    page.goto("/office/crew-days")
    page.locator(STOP.format("Lot 6")).click()

    expect(page.locator("#crew-lot")).not_to_have_value("")
    page.get_by_label("Technician").select_option(label="Rosa Imber")
    page.locator("#crew-day").fill("2027-05-08")
    page.get_by_role("button", name="Book this day").click()
    expect(page.locator("#main")).to_contain_text("Rosa Imber is not at work on that day of the week.")
    page.locator("#crew-reason").fill("She offered to come on the Saturday.")
    page.get_by_role("button", name="Book this day").click()

    expect(page.locator("#main")).to_contain_text("Booked. The builder and the technician are told by mail.")


def test_on_a_phone_the_schedule_fits_and_a_stop_is_pressed(come: Come) -> None:
    page = come("Odile", viewport={"width": 390, "height": 844})
    page.goto("/office/crew-days")

    page.locator(".plan__narrow .chart__stop[data-name='Lot 6']").click()

    expect(page).to_have_url(re.compile(r"lot=\w+#book$"))
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
