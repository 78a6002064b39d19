"""What siding adds stands beside each face and wall, and in what the plan carries for the chooser."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.test_builder_asking import L100, LOT
from tests.web.test_walks import walk
from tests.web.visits import Visits

pytestmark = pytest.mark.slow

BY_FACE = {
    "levels[0].siding.by": "face", "levels[0].siding.north": "sided", "levels[0].siding.east": "open",
    "levels[0].siding.south": "wrapped", "levels[0].siding.west": "open",
}  # fmt: skip


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def redraw(browser: FlaskClient, **changes: str) -> TestResponse:
    return browser.post("/ask/redraw", data=LOT | L100 | {"levels[0].siding": "open"} | changes)


def beside(answer: TestResponse) -> dict[str, str]:
    """The sentences by the place they are for."""
    page = answer.get_data(as_text=True)
    return dict(re.findall(r'<p class="adds" data-part="adds-0-(\w+)">([^<]*)</p>', page))


def walls(answer: TestResponse) -> list[dict[str, str]]:
    """What the plan's walls carry, those that the keyboard comes to."""
    page = answer.get_data(as_text=True)
    found = re.findall(r'<button type="button" class="board__wall"([^>]*)>', page)
    return [dict(re.findall(r'data-(\w+)="([^"]*)"', one)) for one in found]


def test_beside_a_face_stands_what_its_second_coat_costs(browser: FlaskClient) -> None:
    """Case L100 of ANSI/ASHRAE Standard 140 is 57 by 27 ft; the north is sided, the east is not."""
    said = beside(redraw(browser, **BY_FACE))
    assert re.fullmatch(r"57 ft: open takes off \$\d+\.\d\d\.", said["N"])
    assert re.fullmatch(r"27 ft: siding on adds \$\d+\.\d\d\.", said["E"])
    assert said["N"].split("$")[1] != said["E"].split("$")[1]


def test_what_is_said_is_what_the_price_then_comes_to(browser: FlaskClient) -> None:
    def price(answer: TestResponse) -> float:
        found = re.search(r"Price: </span>\$([\d,.]+)", answer.get_data(as_text=True))
        assert found
        return float(found[1].replace(",", ""))

    before = redraw(browser, **BY_FACE)
    after = redraw(browser, **BY_FACE | {"levels[0].siding.east": "sided"})
    told = float(beside(before)["E"].rsplit("$", 1)[1].rstrip("."))
    assert price(after) - price(before) == pytest.approx(told, abs=0.001)


def test_a_face_is_one_stop_however_many_walls_it_has(browser: FlaskClient) -> None:
    of_wing = {"west": "0", "south": "27'", "width": "22'", "depth": "14'"}
    wing = {f"levels[0].outline.rectangles[1].{key}": text for key, text in of_wing.items()}
    found = walls(redraw(browser, **BY_FACE, **wing))
    assert sorted(wall["field"] for wall in found) == [
        f"levels[0].siding.{face}" for face in ("east", "north", "south", "west")
    ]
    assert {wall["name"]: wall["status"] for wall in found}["north side"] == "sided"


def test_each_wall_of_a_walk_is_its_own(browser: FlaskClient) -> None:
    rows = walk(("E", "57'"), ("N", "27'"), ("W", "57'"), ("S", "27'"))
    found = walls(redraw(browser, **rows))
    assert [wall["field"] for wall in found] == [f"levels[0].outline.walls[{n}].siding" for n in range(4)]
    assert found[0]["open"] == "as it is" and found[0]["sided"].startswith("adds $")
    assert set(beside(redraw(browser, **rows))) >= {"w1", "w2", "w3", "w4"}


def test_before_the_house_is_whole_a_wall_can_be_chosen_without_a_price(browser: FlaskClient) -> None:
    answer = redraw(browser, **{"levels[0].siding": "", "levels[0].interior.length": ""})
    assert {wall["sided"] for wall in walls(answer)} == {""} and set(beside(answer).values()) == {""}


def test_faces_chosen_so_far_are_drawn_before_the_last_one_is(browser: FlaskClient) -> None:
    page = redraw(browser, **BY_FACE | {"levels[0].siding.west": ""}).get_data(as_text=True)
    assert "wall--sided" in page and "wall--wrapped" in page and "wall--unplaced" in page


def test_siding_by_length_has_no_wall_to_tap(browser: FlaskClient) -> None:
    by_length = {
        "levels[0].siding.by": "length",
        "levels[0].siding.sided": "57'",
        "levels[0].siding.open": "rest",
    }
    answer = redraw(browser, **by_length)
    assert walls(answer) == [] and beside(answer)["open"].startswith("111 ft: siding on adds $")


def test_what_the_minimum_charge_covers_is_said_so(browser: FlaskClient) -> None:
    """A shed of 10 by 10 ft is below any minimum charge: a second coat of 10 ft adds nothing to it."""
    small = {"levels[0].outline.rectangles[0].width": "10", "levels[0].outline.rectangles[0].depth": "10",
             "levels[0].interior.length": "0"}  # fmt: skip
    said = beside(redraw(browser, **BY_FACE, **small))
    assert said["E"] == "10 ft: siding on adds nothing over the minimum charge."
