"""The plan and the figures follow what is typed, and nothing else on the page moves or speaks."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.journeys.conftest import Come, watched
from tests.journeys.looking import complaints
from tests.journeys.people import enter, labelled, open_full_form
from tests.parts.browser import DESK, PHONE
from tests.parts.demo import Demo

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

REDRAW = "**/ask/redraw"
#: Puts the script into a page that does not have it.
PUT_IN = """() => {
  const script = document.createElement('script');
  script.src = '/static/js/takeoff.js';
  document.head.append(script);
}"""
IN_SIGHT = """one => {
  const box = one.getBoundingClientRect();
  return box.top >= 0 && box.bottom <= innerHeight;
}"""


@pytest.fixture(params=[DESK, PHONE], ids=["desk", "phone"])
def page(request: pytest.FixtureRequest, come: Come) -> Iterator[Page]:
    """The form of a new lot at a desk and on a phone; the browser has nothing to complain of in the end."""
    page = come("Harriet", viewport=request.param)
    page.goto("/ask")
    said = watched(page)
    open_full_form(page)
    yield page
    assert [line for line in said if "ERR_INTERNET_DISCONNECTED" not in line] == []


def plan(page: Page, story: int = 1) -> Locator:
    """What stands where a story's plan is drawn."""
    return page.get_by_role("region", name=f"Story {story}").locator("[data-part^=plan-]")


def dimensions(page: Page) -> list[str]:
    """The lettering of the first story's plan: its dimension strings, marks left out."""
    return [text for text in plan(page).locator("svg text").all_text_contents() if "′" in text]


def drawn(page: Page, *lengths: str) -> None:
    """Wait until these lengths are lettered on the plan."""
    for length in lengths:
        expect(plan(page).locator("svg text").filter(has_text=length).first).to_be_attached()


def type_in(page: Page, label: str, text: str) -> None:
    """Type letter by letter, as a person does, into the first field of this label."""
    labelled(page, label).first.press_sequentially(text, delay=20)


def l100(page: Page) -> None:
    """ANSI/ASHRAE 140 case L100: 57 by 27 ft, 128 ft of partitions; 168 + 128 = 296 ft."""
    enter(page, Width="57'", Depth="27'", Interior_walls="128")
    page.get_by_role("group", name="All around").get_by_label("Open").check()
    expect(figures(page)).to_contain_text("296 ft")


def figures(page: Page) -> Locator:
    """The section of the four figures."""
    return page.get_by_role("region", name="Worked out from what is below")


def walk(page: Page, *lengths: str) -> None:
    """Enter a walk east, north, west, south, as the rows stand there."""
    page.get_by_label("A walk around the walls").check()
    for number, length in enumerate(lengths, 1):
        row = page.get_by_role("group", name=f"Wall {number}", exact=True)
        row.get_by_label("Length").fill(length)


def test_the_plan_is_drawn_while_width_and_depth_are_typed(page: Page) -> None:
    expect(plan(page)).to_contain_text("The plan is drawn here")
    type_in(page, "Width", "57'")
    type_in(page, "Depth", "27'")

    drawn(page, "57′-0″", "27′-0″")
    expect(labelled(page, "Depth")).to_be_focused()
    expect(labelled(page, "Width")).to_have_value("57'")
    assert page.url.endswith("/ask#h-story-0")

    labelled(page, "Width").fill("40' 6\"")
    drawn(page, "40′-6″")


def test_the_four_figures_come_as_soon_as_the_house_is_whole_and_follow_it(page: Page) -> None:
    expect(figures(page)).to_be_hidden()
    l100(page)
    figures(page).get_by_text("How it was got").first.click()
    expect(figures(page)).to_contain_text("168.00 ft + 128.00 ft = 296.00 ft")

    labelled(page, "Interior walls").fill("100")

    # What was opened stays open, and the line at the lower edge says the same.
    expect(figures(page)).to_contain_text("168.00 ft + 100.00 ft = 268.00 ft")
    expect(figures(page).locator("details").first).to_have_attribute("open", "")
    expect(page.locator(".takeoff__now")).to_contain_text("268 ft")
    assert page.locator(".takeoff__now").evaluate(IN_SIGHT)


def test_only_the_figures_that_changed_are_said(page: Page) -> None:
    l100(page)
    said = page.locator("[aria-live=polite]")
    expect(said).to_contain_text("Lineal feet: 296 ft")
    expect(said).to_contain_text("Price: $")

    page.get_by_role("group", name="All around").get_by_label("Siding on").check()

    # A second coat adds product, time and price; the feet are what they were (168 + 128).
    expect(said).to_contain_text("Concentrate to bring: 4.64 gal")
    expect(said).not_to_contain_text("Lineal feet")


def test_text_that_is_half_typed_keeps_the_last_drawing_and_says_no_error(page: Page) -> None:
    l100(page)
    with page.expect_response(REDRAW):
        labelled(page, "Width").fill("32 ")
    drawn(page, "32′-0″")
    with page.expect_response(REDRAW):
        labelled(page, "Width").fill("32 6")

    expect(page.get_by_text("These figures are of what stood there before.")).to_be_visible()
    drawn(page, "32′-0″", "27′-0″")
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(page.locator("[aria-invalid]")).to_have_count(0)
    expect(labelled(page, "Width")).to_have_value("32 6")

    labelled(page, "Width").fill("32 6/12")
    labelled(page, "Width").fill("32-6")
    drawn(page, "32′-6″")
    expect(page.get_by_text("These figures are of what stood there before.")).to_be_hidden()


def test_a_gap_in_a_walk_is_red_and_goes_when_it_is_closed(page: Page) -> None:
    walk(page, "40", "30", "40", "20")
    gap = plan(page).locator(".drawn--gap").first
    expect(gap).to_be_attached()
    red = page.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--red')").strip()
    as_hex = "([r, g, b]) => '#' + [r, g, b].map(one => Number(one).toString(16).padStart(2, '0')).join('')"
    stroke = gap.evaluate("one => getComputedStyle(one).stroke.match(/\\d+/g)")
    assert page.evaluate(as_hex, stroke) == red
    expect(page.get_by_role("alert")).to_have_count(0)

    page.get_by_role("group", name="Wall 4", exact=True).get_by_label("Length").fill("30")

    expect(plan(page).locator(".drawn--gap")).to_have_count(0)
    drawn(page, "40′-0″", "30′-0″")


def test_of_two_quick_edits_the_last_one_stands(page: Page) -> None:
    """The first answer is held back until the second has come."""
    held: list[Route] = []

    def hold_the_first(route: Route) -> None:
        if held:
            route.continue_()
        else:
            held.append(route)

    enter(page, Depth="27'")
    page.wait_for_timeout(600)
    page.route(REDRAW, hold_the_first)
    labelled(page, "Width").fill("44'")
    page.wait_for_timeout(600)
    assert len(held) == 1
    labelled(page, "Width").fill("57'")
    drawn(page, "57′-0″")
    held[0].continue_()
    page.wait_for_timeout(600)

    assert "57′-0″" in dimensions(page) and "44′-0″" not in dimensions(page)


def test_without_a_signal_the_page_stays_and_goes_on_when_it_is_back(page: Page) -> None:
    l100(page)
    before = figures(page).inner_text()
    page.context.set_offline(True)
    lost: list[str] = []
    page.on("requestfailed", lambda one: lost.append(one.url))
    labelled(page, "Width").fill("40'")
    page.wait_for_timeout(800)

    assert lost and "57′-0″" in dimensions(page) and figures(page).inner_text() == before
    expect(labelled(page, "Width")).to_have_value("40'")
    page.context.set_offline(False)
    labelled(page, "Width").fill("41'")
    drawn(page, "41′-0″")


def test_the_field_stays_where_it_is_while_the_figures_come_above_it(page: Page) -> None:
    enter(page, Width="57'", Depth="27'", Interior_walls="128")
    drawn(page, "57′-0″")
    page.get_by_role("group", name="All around").get_by_label("Open").focus()
    top = "document.activeElement.getBoundingClientRect().top"
    before = page.evaluate(top)
    page.keyboard.press("Space")
    expect(figures(page)).to_contain_text("296 ft")

    assert abs(page.evaluate(top) - before) <= 1
    expect(page.get_by_role("group", name="All around").get_by_label("Open")).to_be_focused()


def test_what_was_seen_while_typing_can_be_asked_for_at_once(page: Page) -> None:
    enter(page, Lot="Lot 31", House_number="12", Street="Sluice Road", Town="Marlow Ferry", State="IA",
          ZIP_code="52999")  # fmt: skip
    page.get_by_label("slab").check()
    l100(page)

    figures(page).get_by_role("button", name="Ask for this price").click()

    expect(page.get_by_role("status")).to_contain_text("Asked.")


def test_a_page_that_redrew_itself_reads_and_fits_like_every_other(page: Page) -> None:
    l100(page)
    assert complaints(page) == []


def test_the_office_sees_its_correction_drawn(come: Come, demo: Demo) -> None:
    page = come("Terrence")
    page.goto(f"/office/lots/{demo.lot(11)}/correct")
    said = watched(page)
    with page.expect_response("**/office/redraw*") as answer:
        labelled(page, "Width").first.fill("61'")
    assert answer.value.ok
    expect(page.locator("[aria-live=polite]")).to_contain_text("Lineal feet")
    assert said == []


def test_another_page_allows_no_script_at_all(come: Come) -> None:
    page = come("Harriet")
    page.goto("/lots")
    said = watched(page)
    page.evaluate(PUT_IN)
    page.wait_for_timeout(300)
    assert any("Content Security Policy" in line for line in said)
