"""What a takeoff page swaps in while it is typed in: plans and figures, no errors, and nothing kept."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.store.tables import Lot, OnceKey
from tests.web.test_builder_asking import L100, LOT
from tests.web.visits import Visits, make_visits, text_of

pytestmark = pytest.mark.slow

RECTANGLE = "levels[0].outline.rectangles[{}].{}"


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def redraw(browser: FlaskClient, to: str = "/ask/redraw", **changes: str) -> TestResponse:
    """Send the form as it stands; what is not changed is case L100 (ANSI/ASHRAE 140)."""
    return browser.post(to, data=LOT | L100 | changes)


def parts_of(answer: TestResponse) -> list[str]:
    """The names of the places that the answer is for; those of sentences beside a field left out."""
    found = re.findall(r'data-part="([^"]+)"', answer.get_data(as_text=True))
    return [name for name in found if not name.startswith(("adds-", "closing-"))]


def plan_of(answer: TestResponse, number: int = 0) -> dict[str, str]:
    """What a plan says of itself: its kind of outline, rows read, rows there are."""
    opened = re.search(rf'<div[^>]* data-part="plan-{number}"([^>]*)>', answer.get_data(as_text=True))
    assert opened
    return dict(re.findall(r'data-(\w+)="([^"]*)"', opened[1]))


def walk(*rows: tuple[str, str]) -> dict[str, str]:
    """The fields of a walk."""
    found = {"levels[0].outline.by": "walk"}
    for number, (heading, length) in enumerate(rows):
        found |= {f"levels[0].outline.walls[{number}].heading": heading,
                  f"levels[0].outline.walls[{number}].length": length}  # fmt: skip
    return found


def test_a_whole_house_comes_back_as_its_plan_and_the_four_figures_with_their_steps(
    browser: FlaskClient,
) -> None:
    """57 by 27 ft with 128 ft of partitions is 168 + 128 = 296 ft: ANSI/ASHRAE 140, case L100."""
    answer = redraw(browser)
    assert answer.status_code == 200 and parts_of(answer) == ["plan-0", "figures", "now"]
    said = text_of(answer)
    assert "Lineal feet 296 ft" in said and "168.00 ft + 128.00 ft = 296.00 ft" in said
    assert "plan-drawing" in answer.get_data(as_text=True)


def test_the_answer_is_fragments_and_no_page(browser: FlaskClient) -> None:
    page = redraw(browser).get_data(as_text=True)
    assert "<html" not in page and "<form" not in page
    # Buttons only for the script: none of them sends the form.
    assert set(re.findall(r"<button type=.(\w+)", page)) == {"button"}
    assert re.findall(r' name="([^"]+)"', page) == ["seen"]


def test_every_story_has_its_plan(browser: FlaskClient) -> None:
    upper = {name.replace("[0]", "[1]", 1): text for name, text in L100.items()}
    assert parts_of(redraw(browser, **upper)) == ["plan-0", "plan-1", "figures", "now"]


def test_a_house_that_is_not_whole_is_drawn_without_figures_and_without_a_word_of_error(
    browser: FlaskClient,
) -> None:
    answer = redraw(browser, **{"levels[0].interior.length": "", "levels[0].siding": ""})
    assert answer.status_code == 200 and parts_of(answer) == ["plan-0"]
    page = answer.get_data(as_text=True)
    assert "plan-drawing" in page and "error" not in page.lower()


def test_a_row_that_is_half_typed_is_told_to_be_left_out(browser: FlaskClient) -> None:
    further = {RECTANGLE.format(1, "west"): "0", RECTANGLE.format(1, "south"): "27",
               RECTANGLE.format(1, "width"): "12", RECTANGLE.format(1, "depth"): "1 0"}  # fmt: skip
    assert plan_of(redraw(browser, **further)) == {"by": "rectangles", "read": "1", "rows": "2"}
    assert plan_of(redraw(browser)) == {"by": "rectangles", "read": "1", "rows": "1"}


def test_a_walk_counts_its_walls_up_to_the_first_that_cannot_be_read(browser: FlaskClient) -> None:
    rows = walk(("E", "40"), ("N", "3o"), ("W", "40"), ("S", "30"))
    assert plan_of(redraw(browser, **rows)) == {"by": "walk", "read": "1", "rows": "4"}


def test_the_gap_of_a_walk_is_drawn_and_not_told(browser: FlaskClient) -> None:
    answer = redraw(browser, **walk(("E", "40"), ("N", "30"), ("W", "40"), ("S", "20")))
    assert "drawn--gap" in answer.get_data(as_text=True) and "is missing" not in text_of(answer)
    assert parts_of(answer) == ["plan-0"]


@pytest.mark.parametrize("outline", [{"levels[0].outline.by": "measured"}, {"levels[0].outline.by": "?"}])
def test_what_has_no_shape_leaves_the_words_that_stand_for_a_plan(
    browser: FlaskClient, outline: dict[str, str]
) -> None:
    assert "The plan is drawn here" in text_of(redraw(browser, **outline))


def test_nothing_is_kept_and_no_once_key_is_used_up(browser: FlaskClient, visits: Visits) -> None:
    redraw(browser, press="send", seen="x")
    assert visits.house.rows(Lot) == 0 and visits.house.rows(OnceKey) == 0


def test_figures_that_were_swapped_in_are_figures_that_were_seen(browser: FlaskClient) -> None:
    answer = redraw(browser, **{"levels[0].interior.length": "200"})
    seen = re.search(r'name="seen" value="([^"]+)"', answer.get_data(as_text=True))
    assert seen
    sent = {"levels[0].interior.length": "200", "seen": seen[1], "press": "send"}
    assert browser.post("/ask", data=LOT | L100 | sent).status_code == 302


def test_the_cost_of_the_product_is_for_the_office_alone(visits: Visits, browser: FlaskClient) -> None:
    office = visits.by(visits.house.office)
    assert "cost of the containers" in text_of(redraw(office, "/office/redraw")).lower()
    assert "cost of the containers" not in text_of(redraw(browser)).lower()


def test_who_is_not_signed_in_is_told_so_and_not_sent_elsewhere(visits: Visits) -> None:
    assert redraw(visits.by(None)).status_code == 401
    assert redraw(visits.by(None), "/office/redraw").status_code == 401


def test_it_is_no_address_of_another_kind_of_user(visits: Visits) -> None:
    house = visits.house
    assert redraw(visits.by(house.office)).status_code == 404
    assert redraw(visits.by(house.technician)).status_code == 404
    assert redraw(visits.by(house.builder), "/office/redraw").status_code == 404


def test_it_needs_the_token_of_its_form(visits: Visits) -> None:
    guarded = make_visits(visits.house, csrf=True)
    assert redraw(guarded.by(visits.house.builder)).status_code == 400


def test_only_a_page_with_the_script_may_run_one_and_it_may_ask_only_us(browser: FlaskClient) -> None:
    policy = browser.get("/ask").headers["Content-Security-Policy"]
    assert {"default-src 'none'", "script-src 'self'", "connect-src 'self'"} <= set(policy.split("; "))
    assert "unsafe" not in policy
    assert "script-src" not in browser.get("/lots").headers["Content-Security-Policy"]
