"""The short way in: four answers to a price, and everything else opens from there with them in it."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import sheet
from portal.store.tables import Lot
from tests.web.test_builder_asking import LOT
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

#: ANSI/ASHRAE Standard 140, case L100: 57 by 27 ft, here twice over each other.
ANSWERS = {
    "levels[0].repeat": "2", "levels[0].outline.rectangles[0].width": "57'",
    "levels[0].outline.rectangles[0].depth": "27'", "levels[0].siding": "open",
}  # fmt: skip


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def press(browser: FlaskClient, button: str, **changes: str) -> TestResponse:
    """Fill the short form as it stands on the page, and press a button of it."""
    shown = form_of(browser.get("/ask"), "")
    return browser.post("/ask", data=shown | LOT | ANSWERS | {"press": button} | changes)


def test_a_new_lot_begins_with_four_questions_of_the_house(browser: FlaskClient) -> None:
    shown = form_of(browser.get("/ask"), "")
    assert shown["way"] == "short" and shown["levels[0].repeat"] == "1"
    asked = {name for name in shown if name.startswith("levels[0]") and name in ANSWERS}
    assert asked == set(ANSWERS) - {"levels[0].siding"}
    assert "Add a rectangle" not in text_of(browser.get("/ask"))


def test_four_answers_give_a_price_and_say_that_the_interior_is_estimated(browser: FlaskClient) -> None:
    """Two stories of 168 ft around; interior 0.083 ft to a square foot of 1,539 ft² is 127.737 ft a story.

    2 x (168 + 127.737) = 591.47 ft, as the ratio of case L100 itself has it (128 ft in 1,539 ft²).
    """
    said = text_of(press(browser, "work"))
    assert "591.47 ft" in said and "Estimated, because something was not measured" in said
    assert "0.083 ft per square foot of floor" in said


def test_the_answers_can_be_sent_without_ever_seeing_the_full_form(
    browser: FlaskClient, visits: Visits
) -> None:
    seen = {"seen": form_of(press(browser, "work"), "")["seen"]}
    answer = press(browser, "send", **seen)
    assert answer.status_code == 302
    lot = sheet.sheet(visits.house.parts, visits.house.builder, answer.location.rsplit("/", 1)[1])
    [level] = lot.takeoff.house["levels"]
    assert level == {
        "name": "Typical floor", "repeat": "2", "siding": "open", "interior": {"by": "ratio"},
        "outline": {"by": "rectangles",
                    "rectangles": [{"width": "57'", "depth": "27'", "west": "0", "south": "0"}]},
    }  # fmt: skip


def test_one_story_is_called_as_such(browser: FlaskClient) -> None:
    opened = press(browser, "open", **{"levels[0].repeat": "1"})
    assert form_of(opened, "")["levels[0].name"] == "Ground floor"


def test_the_full_form_opens_with_the_answers_in_it(browser: FlaskClient, visits: Visits) -> None:
    answer = press(browser, "open")
    shown = form_of(answer, "")
    assert answer.status_code == 200 and "way" not in shown
    assert {name: shown[name] for name in ANSWERS} == ANSWERS
    assert shown["levels[0].interior.by"] == "ratio" and shown["street"] == LOT["street"]
    assert {shown[f"levels[0].siding.{face}"] for face in ("north", "east", "south", "west")} == {"open"}
    assert visits.house.rows(Lot) == 0


def test_an_answer_that_cannot_be_read_is_told_beside_it_and_the_way_is_short(browser: FlaskClient) -> None:
    answer = press(browser, "work", **{"levels[0].outline.rectangles[0].width": "57 ft 14 in"})
    assert answer.status_code == 422 and form_of(answer, "")["way"] == "short"
    assert "14 in behind the feet" in error_at(answer, "levels[0].outline.rectangles[0].width")


def test_what_lacks_is_asked_for_at_its_question(browser: FlaskClient) -> None:
    missing = {"levels[0].siding": "", "levels[0].repeat": "0"}
    answer = press(browser, "work", **missing)
    assert "Say what is on the outside of the walls." in text_of(answer)
    assert "whole number from 1 to 60" in error_at(answer, "levels[0].repeat")


def test_a_wing_begins_against_the_north_side_of_the_first_rectangle(browser: FlaskClient) -> None:
    opened = form_of(press(browser, "open"), "")
    answer = browser.post("/ask", data=opened | LOT | {"press": "add levels[0].outline.rectangles"})
    shown = form_of(answer, "")
    assert shown["levels[0].outline.rectangles[1].west"] == "0"
    assert shown["levels[0].outline.rectangles[1].south"] == "27'"
    # Left as it begins, it is no rectangle yet, and nothing is missing.
    assert browser.post("/ask", data=shown | LOT | {"press": "work"}).status_code == 200
