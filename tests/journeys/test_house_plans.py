"""A builder's library, by browser: a plan, its next edition, what changed, and a lot from it mirrored."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import Come, watched
from tests.journeys.looking import complaints
from tests.parts.browser import DESK, PHONE

pytestmark = pytest.mark.journey


def press(page: Page, words: str) -> None:
    """Press a button; of two alike, one stands above the form and one below it."""
    page.get_by_role("button", name=words, exact=True).last.click()


def ell(page: Page) -> None:
    """40 by 30 ft with a wing of 12 by 20 to the east: by hand, 2 × (52 + 30) = 164 ft around it."""
    at = "levels[0].outline.rectangles"
    page.locator(f"[name='{at}[0].width']").fill("40")
    page.locator(f"[name='{at}[0].depth']").fill("30")
    press(page, "Add a rectangle")
    for key, text in (("west", "40"), ("south", "0"), ("width", "12"), ("depth", "20")):
        page.locator(f"[name='{at}[1].{key}']").fill(text)
    page.locator("[name='levels[0].interior.length']").fill("100")
    page.get_by_role("radio", name=re.compile("^By face")).check()
    for face, status in (("north", "open"), ("east", "wrapped"), ("south", "sided"), ("west", "open")):
        page.locator(f"[name='levels[0].siding.{face}']").select_option(status)


def keep(page: Page, words: str) -> None:
    press(page, "Work it out")
    press(page, words)


@pytest.mark.parametrize("scripted", [True, False], ids=["script", "no script"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_plan_is_made_entered_anew_and_asked_from_mirrored(
    come: Come, size: dict[str, int], scripted: bool
) -> None:
    page = come("Harriet", viewport=size, java_script_enabled=scripted)
    said = watched(page)

    # Made: the takeoff form without a lot.
    page.get_by_role("link", name="House plans").click()
    page.get_by_role("link", name="Make a house plan").click()
    page.get_by_label("House plan", exact=True).fill("The Fallow")
    ell(page)
    keep(page, "Keep this house plan")
    expect(page.get_by_role("heading", level=1)).to_have_text("The Fallow")
    expect(page.locator(".figure__value").first).to_have_text("264")

    # Its next edition, and what changed: 12 ft more inside.
    page.get_by_role("link", name="Enter a new edition").click()
    page.locator("[name='levels[0].interior.length']").fill("112")
    page.get_by_label("What is different").fill("Mud room.")
    keep(page, "Keep this edition")
    changed = page.locator("#changed")
    expect(changed.get_by_role("row", name=re.compile("Ground floor, interior"))).to_contain_text("+12.00 ft")
    expect(changed.get_by_role("row", name=re.compile("^Price "))).to_contain_text(re.compile(r"\+\$\d"))
    before = page.locator(".figure__value").last.inner_text()
    if scripted:
        assert not complaints(page)
        page.set_viewport_size(size)  # type: ignore[arg-type]

    # A lot from it, the other way around: the wing stands in the west, the price stays.
    page.get_by_label("Mirrored, east to west").check()
    press(page, "Ask for a price from this plan")
    expect(
        page.get_by_text("The house below is The Fallow, edition 2, mirrored east to west.")
    ).to_be_visible()
    edges = [page.locator(f"[name='levels[0].outline.rectangles[{n}].west']").input_value() for n in (0, 1)]
    assert edges == ["12", "0"]
    assert page.locator("[name='levels[0].siding.west']").input_value() == "wrapped"
    for label, text in (("Lot", "Lot 40"), ("House number", "40"), ("Street", "Lime Kiln Lane")):
        page.get_by_label(label, exact=True).fill(text)
    page.get_by_role("radio", name="slab").check()
    press(page, "Ask for this price")
    expect(page.get_by_text("Asked. The office checks the takeoff")).to_be_visible()
    expect(page.locator(".facts")).to_contain_text(["The Fallow, edition 2, mirrored east to west"])
    assert page.locator(".figure__value").nth(3).inner_text() == before

    # The plan knows the lot, and retired it is offered no more.
    page.get_by_role("link", name="The Fallow").click()
    expect(page.get_by_role("link", name="Lot 40, 40 Lime Kiln Lane")).to_be_visible()
    press(page, "Retire this plan")
    expect(page.get_by_text("Retired. It is offered no more")).to_be_visible()
    page.get_by_role("link", name="Ask for a price", exact=True).click()
    assert "The Fallow" not in page.get_by_label("House plan", exact=True).inner_text()
    assert not said
