"""Ways in to a price: four answers, an L by the keyboard alone, a walk with turns, walls tapped, dragged."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.journeys.conftest import Come, watched
from tests.journeys.hands import Hands
from tests.journeys.looking import complaints
from tests.journeys.people import enter, labelled, open_full_form
from tests.parts.browser import DESK, PHONE

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

LOT = {"Lot": "Lot 41", "House_number": "12", "Street": "Sluice Road", "Town": "Marlow Ferry", "State": "IA",
       "ZIP_code": "52999"}  # fmt: skip
SIZES = pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
SCRIPTS = pytest.mark.parametrize("scripts", [True, False], ids=["script", "no script"])
ROW = "levels[0].outline.rectangles[1]"


@pytest.fixture(params=[DESK, PHONE], ids=["desk", "phone"])
def page(request: pytest.FixtureRequest, come: Come) -> Iterator[Page]:
    """The form of a new lot, at a desk and on a phone with a finger; nothing to complain of in the end."""
    touch = {"has_touch": True, "is_mobile": True} if request.param == PHONE else {}
    page = come("Harriet", viewport=request.param, **touch)
    page.goto("/ask")
    said = watched(page)
    yield page
    assert said == []


def an_l(page: Page) -> None:
    """57 by 27 ft with a wing of 22 by 14 on its north side; 196 ft around, and open all around."""
    open_full_form(page)
    enter(page, Width="57'", Depth="27'", Interior_walls="128")
    page.get_by_role("button", name="Add a rectangle").click()
    row = page.get_by_role("group", name="Rectangle 2", exact=True).first
    enter(row, Width="22'", Depth="14'")
    page.get_by_role("group", name="All around").get_by_label("Open").check()
    expect(figures(page)).to_contain_text("324 ft")


def figures(page: Page) -> Locator:
    """The section of the four figures."""
    return page.get_by_role("region", name="Worked out from what is below")


def typed(page: Page, row: str = ROW) -> dict[str, str]:
    """What stands in the fields of a rectangle."""
    return {key: page.locator(f'[name="{row}.{key}"]').input_value()
            for key in ("west", "south", "width", "depth")}  # fmt: skip


def wall(page: Page, name: str) -> Locator:
    return page.locator(".board__wall").and_(page.get_by_role("button", name=re.compile(f"^{name}:")))


def edge(found: Locator) -> float:
    """Where the words in it begin, from the left."""
    words = "const words = document.createRange(); words.selectNodeContents(e);"
    return float(found.evaluate(f"e => {{ {words} return words.getClientRects()[0].left }}"))


def test_words_begin_at_one_edge_and_nothing_keeps_a_line_free_for_nothing(page: Page) -> None:
    leads_on = page.get_by_role("button", name="Any other house: open the full form")

    assert edge(leads_on) == pytest.approx(edge(page.get_by_role("heading", name="The house")), abs=1)
    expect(page.locator(".adds")).to_be_hidden()

    leads_on.click()
    page.get_by_role("radio", name="By face").check()
    chosen = labelled(page, "North face")
    chosen.select_option("Open: bare framing or sheathing")
    given = chosen.evaluate("e => e.offsetWidth")
    wanted = chosen.evaluate("e => { e.style.width = 'auto'; return e.offsetWidth }")
    assert given >= wanted, "what is chosen is cut off"


@SIZES
@SCRIPTS
def test_four_answers_and_where_it_is_give_a_price_that_can_be_asked_for(
    come: Come, size: dict[str, int], scripts: bool
) -> None:
    """Two stories of case L100 (ANSI/ASHRAE 140): 168 ft around, and 0.083 ft inside to each of 1,539 ft²."""
    page = come("Harriet", viewport=size, java_script_enabled=scripts)
    page.goto("/ask")
    enter(page, Stories="2", Width="57'", Depth="27'")
    page.get_by_label("Open").check()
    enter(page, **LOT)
    page.get_by_label("slab").check()
    if not scripts:
        page.get_by_role("button", name="Work it out").last.click()
    expect(figures(page)).to_contain_text("591.47 ft")
    expect(figures(page)).to_contain_text("Estimated, because something was not measured")

    # Below the lot's fields too, where who came by typing is now.
    expect(page.get_by_role("button", name="Ask for this price")).to_have_count(2)
    page.get_by_role("button", name="Ask for this price").last.click()

    expect(page.get_by_role("status")).to_contain_text("Asked.")


@SIZES
@SCRIPTS
def test_an_l_of_two_stories_with_two_sided_walls_takes_under_three_minutes_by_the_keyboard(
    come: Come, size: dict[str, int], scripts: bool
) -> None:
    page = come("", viewport=size, java_script_enabled=scripts)
    hands = Hands(page)
    hands.to("Come in as Harriet Finch")
    hands.go()
    hands.to("Ask for a price")
    hands.go()
    hands.to("Any other house: open the full form")
    hands.go()
    hands.fill(Stories_exactly_alike="2", Width="40'", Depth="28'")
    hands.to("Add a rectangle")
    hands.go()
    hands.decisions += 1
    hands.type("18'")
    hands.fill(Depth="12'")
    hands.to("The same all around")
    hands.press("ArrowDown")
    for face, first_letter in {"North": "o", "East": "s", "South": "s", "West": "o"}.items():
        hands.to(f"{face} face")
        hands.type(first_letter)
    hands.fill(Lot="Lot 42", House_number="12", Street="Sluice Road")
    hands.to("slab")
    hands.press("Space")
    if not scripts:
        hands.to("Work it out")
        hands.go()
        hands.decisions += 1
    else:
        expect(figures(page)).to_contain_text("Lineal feet")
    hands.to("Ask for this price")
    hands.go()

    expect(page.get_by_role("status")).to_contain_text("Asked.")
    assert hands.seconds < 180, hands
    # Around an L is around its box: 2 x (40 + 40) ft a story. Two faces of two stories are sided.
    expect(page.get_by_role("table").filter(has_text="All exterior walls")).to_contain_text("320")
    expect(page.get_by_role("row").filter(has_text="siding on")).to_have_count(4)


def test_a_rectangle_goes_where_the_arrow_keys_send_it_and_typed_figures_lead(page: Page) -> None:
    an_l(page)
    page.locator(f'[name="{ROW}.west"]').fill("2' 7\"")
    expect(page.locator(f'[data-key="move {ROW}"]')).to_have_attribute("data-west", re.compile(r"2\.58"))
    before = typed(page)

    page.locator(f'[data-key="move {ROW}"]').focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator(f'[data-key="move {ROW}"]')).to_have_attribute("data-west", re.compile(r"^3\.0"))
    assert typed(page) == before | {"west": "3'"}
    expect(page.locator(f'[data-key="move {ROW}"]')).to_be_focused()

    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    expect(figures(page)).to_contain_text("326 ft")
    assert typed(page) == before | {"west": "8'", "depth": "15'"}


def test_a_rectangle_is_dragged_by_the_pointer_in_steps_of_six_inches(page: Page) -> None:
    an_l(page)
    grip = page.locator(f'[data-key="size {ROW}"]')
    grip.scroll_into_view_if_needed()
    box = grip.bounding_box()
    over = page.locator(".board__over").bounding_box()
    assert box and over
    a_foot = over["width"] / float(page.locator(".board__over").get_attribute("data-feet-wide") or 0)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 4.4 * a_foot, y + 0.1 * a_foot, steps=6)
    expect(page.locator(".board__ghost")).to_be_visible()
    assert typed(page)["width"] == "22'"
    page.mouse.up()

    expect(grip).to_have_attribute("data-width", re.compile(r"^26\.5"))
    assert typed(page) == {"west": "0", "south": "27'", "width": "26' 6\"", "depth": "14'"}
    expect(page.locator(".board__ghost")).to_have_count(0)

    page.mouse.move(*middle(page, f"size {ROW}"))
    page.mouse.down()
    page.mouse.move(x + 90, y, steps=3)
    page.keyboard.press("Escape")
    page.mouse.up()
    assert typed(page)["width"] == "26' 6\""


def middle(page: Page, key: str) -> tuple[float, float]:
    box = page.locator(f'[data-key="{key}"]').bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_part_that_is_dragged_near_another_touches_it(page: Page) -> None:
    """27 ft 3 in is no multiple of 6 inches; a wing left a quarter foot away would be 44 ft more of wall."""
    an_l(page)
    page.locator('[name="levels[0].outline.rectangles[0].depth"]').fill("27' 3\"")
    page.locator(f'[name="{ROW}.south"]').fill("30'")
    expect(page.locator(f'[data-key="move {ROW}"]')).to_have_attribute("data-south", re.compile(r"^30\.0"))
    over = page.locator(".board__over").bounding_box()
    assert over
    a_foot = over["width"] / float(page.locator(".board__over").get_attribute("data-feet-wide") or 0)
    page.locator(f'[data-key="move {ROW}"]').scroll_into_view_if_needed()
    x, y = middle(page, f"move {ROW}")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 2.6 * a_foot, steps=6)
    page.mouse.up()
    expect(figures(page)).to_contain_text("324.5 ft")
    assert typed(page)["south"] == "27' 3\"" and typed(page)["west"] == "0"


def test_a_wall_is_tapped_and_says_what_its_siding_adds(page: Page) -> None:
    an_l(page)
    face = wall(page, "north side")
    face.scroll_into_view_if_needed()
    face.click()
    chooser = page.locator(".chooser")
    expect(chooser.get_by_role("button", name=re.compile("^Open"))).to_be_focused()
    told = chooser.get_by_role("button", name=re.compile("^Siding on")).inner_text()
    added = float(re.sub(r"[^\d.]", "", told))
    before = price(page)
    assert complaints_of_targets(chooser) == []

    chooser.get_by_role("button", name=re.compile("^Siding on")).click()

    expect(chooser).to_have_count(0)
    expect(wall(page, "north side")).to_have_attribute("data-status", "sided")
    assert price(page) - before == pytest.approx(added, abs=0.001)
    expect(page.get_by_label("By face")).to_be_checked()
    chosen = {face: page.get_by_label(f"{face} face").input_value() for face in ("North", "East", "South")}
    assert chosen == {"North": "sided", "East": "open", "South": "open"}
    expect(page.locator('[data-part="adds-0-N"]')).to_contain_text("57 ft: open takes off")
    # Both walls that look north are hatched: the wing's and the rest of the house's.
    expect(page.locator("g.wall--sided")).to_have_count(2)
    expect(wall(page, "north side")).to_be_focused()


def complaints_of_targets(chooser: Locator) -> list[str]:
    """What is too small for a thumb."""
    boxes = [one.bounding_box() for one in chooser.get_by_role("button").all()[:3]]
    return [str(box) for box in boxes if not box or min(box["width"], box["height"]) < 44]


def price(page: Page) -> float:
    return float(figures(page).locator(".figure__value").last.inner_text().replace("$", "").replace(",", ""))


def test_walls_are_chosen_by_the_keyboard(page: Page) -> None:
    an_l(page)
    first = page.locator("button.board__wall").first
    first.focus()
    page.keyboard.press("ArrowRight")
    name = page.evaluate("document.activeElement.dataset.name")
    page.keyboard.press("Enter")
    expect(page.locator(".chooser")).to_contain_text(name)
    page.keyboard.press("Escape")
    expect(page.locator(".chooser")).to_have_count(0)
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(wall(page, name)).to_have_attribute("data-status", "sided")
    expect(wall(page, name)).to_be_focused()


def test_a_walk_with_turns_is_closed_by_a_press(page: Page) -> None:
    open_full_form(page)
    page.get_by_label("A walk around the walls").check()
    for number, (heading, length) in enumerate((("E", "57'"), ("left", "27'"), ("L", "57'")), 1):
        row = page.get_by_role("group", name=f"Wall {number}", exact=True)
        enter(row, Heading=heading, Length=length)
    enter(page, Interior_walls="128")
    page.get_by_role("group", name="All around").get_by_label("Open").check()
    expect(page.locator(".drawn--gap").first).to_be_attached()

    page.get_by_role("button", name="Add the last wall: S, 27′-0″").click()

    expect(figures(page)).to_contain_text("296 ft")
    expect(page.locator(".drawn--gap")).to_have_count(0)
    rows = [page.get_by_role("group", name=f"Wall {number}", exact=True) for number in range(1, 5)]
    assert [labelled(row, "Heading").input_value() for row in rows] == ["E", "left", "L", "S"]
    expect(page.locator('[data-part="adds-0-w1"]')).to_contain_text("57 ft: siding on adds")

    # On a walk a wall is its own: what is chosen on the plan stands in its row, and in no other.
    wall(page, "wall 2, heading N").click()
    page.locator(".chooser").get_by_role("button", name=re.compile("^Wrapped")).click()
    expect(wall(page, "wall 2, heading N")).to_have_attribute("data-status", "wrapped")
    own = [row.get_by_label("Siding of its own").input_value() for row in rows]
    assert own == ["", "wrapped", "", ""]


def test_a_form_that_can_be_taken_hold_of_reads_and_fits_like_every_other(page: Page) -> None:
    an_l(page)
    wall(page, "south side").click()
    assert complaints(page) == []
