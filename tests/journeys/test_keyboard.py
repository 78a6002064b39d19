"""A builder without a mouse: by Tab, Space, arrows and Enter alone, the focus in sight all the way."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import Come

pytestmark = pytest.mark.journey

#: What the focus is on, by its label or its words; nothing where it is not to be seen.
FOCUSED = """() => {
  const one = document.activeElement, box = one.getBoundingClientRect();
  const seen = box.width > 0 && box.bottom > 0 && box.top < innerHeight;
  // The parts of a day's field have a mark of the browser's own.
  const ring = one.type === 'date' || getComputedStyle(one).outlineStyle !== 'none';
  const words = one.labels?.length ? one.labels[0].innerText : one.ariaLabel || one.innerText;
  return seen && ring ? words.replace(/\\s+/g, ' ').replace(' (optional)', '').trim() : '';
}"""


def tab_to(page: Page, words: str) -> None:
    """Press Tab until the focus is on the field or button of these words. Every stop has to be seen."""
    for _stop in range(90):
        page.keyboard.press("Tab")
        focused = page.evaluate(FOCUSED)
        assert focused, (
            f"the focus is out of sight: {page.evaluate('document.activeElement.outerHTML')[:120]}"
        )
        if focused == words or focused.startswith(f"{words}: "):
            return
    raise AssertionError(f"no {words} to tab to")


def test_a_price_is_asked_for_by_the_keyboard_alone(come: Come) -> None:
    page = come("Harriet")
    page.goto("/ask")
    page.keyboard.press("Tab")
    assert page.evaluate(FOCUSED) == "Skip to the sheet"
    page.keyboard.press("Enter")

    tab_to(page, "Any other house: open the full form")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Story 1")).to_be_visible()
    for label, text in {"Width": "57'", "Depth": "27'"}.items():
        tab_to(page, label)
        page.keyboard.type(text)
    tab_to(page, "Not measured They are then estimated from the floor area.")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    tab_to(page, "Interior walls")
    page.keyboard.type("128'")
    tab_to(page, "Open")
    page.keyboard.press("Space")
    # ANSI/ASHRAE 140 case L100, 57 by 27 ft and 128 ft of partitions: 168 + 128 = 296 ft.
    expect(page.locator("#main")).to_contain_text("296 ft")
    typed = {"Lot": "Lot 21", "House number": "184", "Street": "Sluice Road"}
    for label, text in typed.items():
        tab_to(page, label)
        page.keyboard.type(text)
    tab_to(page, "slab")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    expect(page.get_by_label("basement")).to_be_checked()
    with page.expect_navigation():
        page.keyboard.press("Enter")  # in a field, as in every form: works it out
    tab_to(page, "Ask for this price")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Asked.")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Lot 21, 184 Sluice Road")
