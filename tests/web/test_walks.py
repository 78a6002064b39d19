"""A walk on the takeoff form: turns kept as they were typed, and the one wall that closes it as a button."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.test_builder_asking import L100, LOT
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

WALL = "levels[0].outline.walls[{}].{}"


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def walk(*rows: tuple[str, str]) -> dict[str, str]:
    """The fields of a walk: heading and length of each wall."""
    found = {"levels[0].outline.by": "walk"}
    for number, (heading, length) in enumerate(rows):
        found |= {WALL.format(number, "heading"): heading, WALL.format(number, "length"): length}
    return found


def press(browser: FlaskClient, button: str, rows: dict[str, str], to: str = "/ask") -> TestResponse:
    return browser.post(to, data=LOT | L100 | rows | {"press": button})


def offered(answer: TestResponse) -> dict[str, str]:
    """The buttons that close the walk: words to value."""
    page = answer.get_data(as_text=True)
    found = re.findall(r"<button([^>]*)value=\"(close [^\"]*)\"[^>]*>([^<]*)</button>", page)
    return {words: value.replace("&#39;", "'").replace("&#34;", '"') for _, value, words in found}


L_TURNED = walk(
    ("E", "57'"), ("left", "27'"), ("L", "35'"), ("right", "14'"), ("left", "22'"), ("left", "41'")
)


def test_turns_are_measured_as_the_headings_they_make_and_stay_as_typed(browser: FlaskClient) -> None:
    """An L of 57 by 27 ft with a wing of 22 by 14: 57 + 27 + 35 + 14 + 22 + 41 = 196 ft around."""
    answer = press(browser, "work", L_TURNED)
    assert answer.status_code == 200 and "196.00 ft + 128.00 ft = 324.00 ft" in text_of(answer)
    shown = form_of(answer, "")
    assert [shown[WALL.format(n, "heading")] for n in range(6)] == ["E", "left", "L", "right", "left", "left"]


def test_a_turn_with_degrees_makes_a_bay(browser: FlaskClient) -> None:
    """An octagon of 10 ft walls, each a turn of 45 degrees (its exterior angle is 360 / 8): 80 ft."""
    octagon = walk(("E", "10"), *[("left 45", "10")] * 7)
    assert "80.00 ft + 128.00 ft = 208.00 ft" in text_of(press(browser, "work", octagon))


def test_a_turn_without_a_wall_before_it_says_what_it_lacks(browser: FlaskClient) -> None:
    answer = press(browser, "work", walk(("left", "57'"), ("left", "27'"), ("left", "57'"), ("left", "27'")))
    assert answer.status_code == 422
    assert "A turn is from the wall before it" in error_at(answer, WALL.format(0, "heading"))


def test_one_missing_wall_is_offered_and_put_in_by_a_press(browser: FlaskClient) -> None:
    rows = walk(("E", "57'"), ("L", "27'"), ("L", "57'"), ("S", ""))
    answer = press(browser, "draw", rows)
    buttons = offered(answer)
    assert list(buttons) == ["Add the last wall: S, 27′-0″"]
    [value] = buttons.values()
    closed = press(browser, value, rows)
    shown = form_of(closed, "")
    assert shown[WALL.format(3, "heading")] == "S" and shown[WALL.format(3, "length")] == "27'"
    assert WALL.format(4, "heading") not in shown and "296 ft" in text_of(closed)
    assert shown[WALL.format(1, "heading")] == "L" and offered(closed) == {}


def test_a_missing_wall_in_between_goes_between(browser: FlaskClient) -> None:
    rows = walk(("E", "40"), ("N", "20"), ("W", "20"), ("W", "20"), ("S", "30"))
    value = offered(press(browser, "draw", rows))["Put in a wall after wall 3: N, 10′-0″"]
    shown = form_of(press(browser, value, rows), "")
    assert [shown[WALL.format(n, "length")] for n in range(6)] == ["40", "20", "20", "10'", "20", "30"]


def test_a_wrong_length_is_put_right_and_nothing_else(browser: FlaskClient) -> None:
    rows = walk(("E", "57'"), ("N", "27'"), ("W", "57'"), ("S", "26'"))
    buttons = offered(press(browser, "draw", rows))
    assert list(buttons) == ["Make wall 4 27′-0″ long", "Make wall 2 26′-0″ long"]
    shown = form_of(press(browser, buttons["Make wall 4 27′-0″ long"], rows), "")
    assert [shown[WALL.format(n, "length")] for n in range(4)] == ["57'", "27'", "57'", "27'"]


def test_nothing_is_offered_where_it_takes_more_than_one_wall(browser: FlaskClient) -> None:
    assert offered(press(browser, "draw", walk(("E", "57'"), ("N", "27'"), ("W", "20'")))) == {}
    assert offered(press(browser, "draw", walk(("E", "57'"), ("N", "2 7"), ("W", "57'")))) == {}


def test_the_offer_comes_with_the_redrawn_plan(browser: FlaskClient) -> None:
    rows = walk(("E", "57'"), ("N", "27'"), ("W", "57'"))
    assert list(offered(press(browser, "", rows, "/ask/redraw"))) == ["Add the last wall: S, 27′-0″"]


@pytest.mark.parametrize(
    "value",
    [
        "close levels[9] 3 heading S length 27'",
        "close levels[0] 99 length 27'",
        "close levels[0] 4 length 27'",
        "close levels[0] 3 heading S",
    ],
)
def test_a_press_that_fits_nothing_changes_nothing(browser: FlaskClient, value: str) -> None:
    rows = walk(("E", "57'"), ("N", "27'"), ("W", "57'"), ("S", "27'"))
    shown = form_of(press(browser, value, rows), "")
    assert {name: shown[name] for name in rows if "walls" in name} == {
        name: text for name, text in rows.items() if "walls" in name
    }
