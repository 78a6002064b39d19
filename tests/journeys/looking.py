"""What can be said of any page that stands in the browser, whatever it is about."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.parts.browser import DESK, PHONE

#: The narrowest screen that a page has to fit: WCAG 2.2, success criterion 1.4.10.
NARROWEST = {"width": 320, "height": 640}

#: Targets that are too small, as words. A link within a sentence is as high as its line (WCAG 2.2, 2.5.8);
#: what is only there for a keyboard or a reader (`unseen`, `skip`) is not pressed by a finger.
SMALL_TARGETS = """least => {
  const targets = 'a[href], button, input:not([type=hidden]), select, textarea, summary';
  const shown = one => one.checkVisibility() && !one.closest('.unseen, .skip');
  const words = one => one.textContent.trim().length;
  const inSentence = one => one.matches('a') && getComputedStyle(one).display === 'inline'
    && words(one.parentElement) > words(one);
  const ticked = one => one.matches('[type=checkbox], [type=radio]');
  const pressed = one => (ticked(one) && one.closest("label")) || one;
  return [...document.querySelectorAll(targets)]
    .filter(one => shown(one) && !inSentence(one))
    .map(one => [one, pressed(one).getBoundingClientRect()])
    .filter(([one, box]) => Math.min(box.width, box.height) < least - 0.5)
    .map(([one, box]) => `${one.outerHTML.slice(0, 90)} is ${box.width | 0} by ${box.height | 0}`)
}"""


def complaints(page: Page) -> list[str]:
    """All that is wrong with how a page looks and reads, at a desk, on a phone, in light and in dark."""
    found = [f"{page.locator('h1').count()} h1"] if page.locator("h1").count() != 1 else []
    for size in (DESK, PHONE):
        page.set_viewport_size(size)  # type: ignore[arg-type]
        found += [f"{size['width']} px: {wrong}" for wrong in _at_this_size(page)]
    found += _too_wide(page)
    page.set_viewport_size(DESK)  # type: ignore[arg-type]
    return found


def complaints_at_a_glance(page: Page) -> list[str]:
    """What a phone in light shows of it: a quarter of the time, for a walk over every page there is."""
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    found = [f"{page.locator('h1').count()} h1"] if page.locator("h1").count() != 1 else []
    return [*found, *_axe(page), *_small(page), *_too_wide(page)]


def _too_wide(page: Page) -> list[str]:
    found = []
    for size in (PHONE, NARROWEST):
        page.set_viewport_size(size)  # type: ignore[arg-type]
        wide = page.evaluate("document.documentElement.scrollWidth")
        found += [f"{wide} px wide on {size['width']}"] if wide > size["width"] else []
    return found


def _small(page: Page) -> list[str]:
    least = 48 if page.locator("body.field-page").count() else 24
    return [f"under {least} px: {small}" for small in page.evaluate(SMALL_TARGETS, least)]


def _at_this_size(page: Page) -> list[str]:
    page.emulate_media(color_scheme="light")
    found = _axe(page)
    page.emulate_media(color_scheme="dark")
    found += [f"dark: {wrong}" for wrong in _axe(page, "color-contrast")]
    page.emulate_media(color_scheme="light")
    return found + _small(page)


def _axe(page: Page, *rules: str) -> list[str]:
    options = {"resultTypes": ["violations"], **({"runOnly": list(rules)} if rules else {})}
    result = Axe().run(page, options=options).response
    return [f"{rule['id']} at {node['target']}" for rule in result["violations"] for node in rule["nodes"]]
