"""The takeoff form: from what is typed to a house document and back, and problems to their fields."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask_babel import Babel, gettext
from hypothesis import given
from hypothesis import strategies as st

from portal.core.errors import BadInput, Problem
from portal.core.takeoff.reading import read_house
from portal.formats import Formats
from portal.web.shared import house_form, house_problems, sketch
from portal.web.shared.house_form import HouseForm, first_form, from_document, read_form
from tests.parts.house import ZONE

RECTANGLES = "levels[0].outline.rectangles"
WALLS = "levels[0].outline.walls"


@pytest.fixture(autouse=True)
def in_a_request() -> Any:
    app = Flask("form")
    Babel(app)
    app.extensions["sillbook_formats"] = Formats("en_US", ZONE, gettext)
    with app.test_request_context():
        yield


def typed(**changes: str) -> dict[str, str]:
    """A form of one rectangle as a browser sends it; changes are named by their path within the level."""
    fields = {
        "name": "Ground floor", "repeat": "1", "outline.by": "rectangles", "outline.length": "",
        "outline.floor_area": "", "outline.rectangles[0].west": "0", "outline.rectangles[0].south": "0",
        "outline.rectangles[0].width": "57'", "outline.rectangles[0].depth": "27'", "interior.by": "measured",
        "interior.length": "128", "siding.by": "one", "siding": "open",
    }  # fmt: skip
    return {f"levels[0].{at}": text for at, text in (fields | changes).items()}


def walls(*rows: tuple[str, str, str]) -> dict[str, str]:
    """The fields of a walk: heading, length and own siding of each wall."""
    return {
        f"outline.walls[{number}].{key}": text
        for number, row in enumerate(rows)
        for key, text in zip(("heading", "length", "siding"), row, strict=True)
    }


def level_of(fields: dict[str, str]) -> dict[str, Any]:
    """The first level of the document of what was typed."""
    level: dict[str, Any] = read_form(fields).document("Lot 7")["levels"][0]
    return level


def placed(form: HouseForm) -> dict[str, list[str]]:
    """Field to sentences, for whatever the engine finds wrong with a form."""
    with pytest.raises(BadInput) as caught:
        read_house(form.document("Lot 7"))
    found: dict[str, list[str]] = {}
    for problem in caught.value.problems:
        at = house_problems.field_for(problem.at, form)
        found.setdefault(at, []).append(str(problem.says))
    return found


def test_a_typed_rectangle_becomes_a_house_document_with_its_lengths_as_typed() -> None:
    document = read_form(typed()).document("Lot 7")
    assert document == {"name": "Lot 7", "levels": [{
        "name": "Ground floor", "repeat": "1",
        "outline": {"by": "rectangles",
                    "rectangles": [{"west": "0", "south": "0", "width": "57'", "depth": "27'"}]},
        "interior": {"by": "measured", "length": "128"}, "siding": "open",
    }]}  # fmt: skip


def test_the_engine_measures_case_l100_as_typed() -> None:
    """ANSI/ASHRAE Standard 140, case L100: 57 by 27 ft, so 168 ft around."""
    house = read_house(read_form(typed()).document("Lot 7"))
    assert house.levels[0].survey.exterior == 168


def test_only_the_chosen_outline_goes_into_the_document_and_the_others_stay_typed() -> None:
    form = read_form(
        typed(**{"outline.by": "measured", "outline.length": "168 ft", "outline.floor_area": ""})
    )
    assert form.document("Lot 7")["levels"][0]["outline"] == {"by": "measured", "length": "168 ft"}
    assert form.stories[0].rectangles == [{"west": "0", "south": "0", "width": "57'", "depth": "27'"}]


@pytest.mark.parametrize(
    ("area", "meant"),
    [
        ("1,850", "1850"),
        ("12,345.5", "12345.5"),
        ("1,85", "1,85"),
        ("1.850,5", "1.850,5"),
        ("1,8500", "1,8500"),
    ],
)
def test_a_floor_area_may_have_commas_at_its_thousands_and_nowhere_else(area: str, meant: str) -> None:
    level = level_of(typed(**{"outline.by": "area", "outline.floor_area": area}))

    assert level["outline"] == {"by": "area", "floor_area": meant}


def test_blank_rows_at_the_end_are_dropped_from_the_document_but_stay_on_the_page() -> None:
    blank = {f"outline.rectangles[1].{key}": "" for key in ("west", "south", "width", "depth")}
    form = read_form(typed(**blank))
    assert len(form.document("Lot 7")["levels"][0]["outline"]["rectangles"]) == 1
    assert len(form.stories[0].rectangles) == 2


def test_a_row_that_is_begun_is_not_blank() -> None:
    level = level_of(typed(**{"outline.rectangles[1].width": "12"}))
    assert level["outline"]["rectangles"][1] == {"width": "12"}


def test_walls_of_a_walk_carry_their_own_siding_unless_siding_is_given_by_length() -> None:
    rows = walls(("E", "30", ""), ("N", "30", "sided"), ("W", "30", ""), ("S", "30", ""))
    walk = typed(**{"outline.by": "walk"}, **rows)
    assert level_of(walk)["outline"]["walls"][1] == {"heading": "N", "length": "30", "siding": "sided"}
    by_length = level_of(walk | {"levels[0].siding.by": "length", "levels[0].siding.sided": "30",
                                 "levels[0].siding.open": "rest"})  # fmt: skip
    assert by_length["siding"] == {"by": "length", "sided": "30", "open": "rest"}
    assert all("siding" not in wall for wall in by_length["outline"]["walls"])


def test_with_siding_wall_by_wall_the_story_has_none_of_its_own() -> None:
    assert "siding" not in level_of(typed(**{"siding.by": "wall"}))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"outline.rectangles[0].width": "32 6"}, f"{RECTANGLES}[0].width"),
        ({"outline.rectangles[0].depth": ""}, f"{RECTANGLES}[0].depth"),
        ({"interior.length": ""}, "levels[0].interior.length"),
        ({"siding": ""}, "levels[0].siding.by"),
        ({"siding.by": "face", "siding.north": "open"}, "levels[0].siding.south"),
        ({"siding.by": "length", "siding.sided": "9"}, "levels[0].siding.by"),
        ({"siding.by": "length", "siding.sided": "much"}, "levels[0].siding.sided"),
        ({"outline.by": "walk", "outline.walls[0].heading": "up", "outline.walls[0].length": "9"},
         f"{WALLS}[0].heading"),
        ({"outline.by": "area", "outline.floor_area": "many"}, "levels[0].outline.floor_area"),
        ({"interior.by": "ratio", "outline.by": "measured", "outline.length": "9"}, "levels[0].interior.by"),
        ({"interior.by": "walls", "interior.lengths[0]": "12", "interior.lengths[1]": "x"},
         "levels[0].interior.lengths[1]"),
        ({"repeat": "0"}, "levels[0].repeat"),
        ({"name": ""}, "levels[0].name"),
        ({"outline.by": "circle"}, "levels[0].outline.by"),
    ],
)  # fmt: skip
def test_a_problem_lands_at_the_field_it_is_about(changes: dict[str, str], field: str) -> None:
    assert field in placed(read_form(typed(**changes)))


def test_a_walk_that_does_not_close_is_told_at_the_outline() -> None:
    rows = walls(("E", "40", ""), ("N", "30", ""), ("W", "40", ""), ("S", "20", ""))
    form = read_form(typed(**{"outline.by": "walk"}, **rows))
    [says] = placed(form)["levels[0].outline.by"]
    assert "10.00 ft" in says and "10.00 ft south is missing" in says
    drawn = sketch.sketch(form.document("Lot 7")["levels"][0], 1)
    assert drawn is not None and "drawn--gap" in drawn and "10" in drawn


def test_no_problem_is_lost_whatever_is_typed() -> None:
    form = read_form(
        {"levels[0].name": "", "levels[3].outline.by": "walk", "levels[3].outline.walls[7].length": "?"}
    )
    with pytest.raises(BadInput) as caught:
        read_house(form.document(""))
    assert len(house_problems.in_place(caught.value.problems, form)) == len(caught.value.problems)


PARTS = r"(name|(outline|interior|siding)[a-z_.\[\]0-9]{0,30})"


@given(
    st.dictionaries(
        st.sampled_from(sorted(typed())) | st.from_regex(r"levels\[\d{1,2}\]\." + PARTS, fullmatch=True),
        st.text(max_size=12),
    )
)
def test_whatever_a_browser_sends_is_read_judged_and_drawn_without_a_crash(fields: dict[str, str]) -> None:
    form = read_form(fields)
    document = form.document("Lot 7")
    problems: tuple[Problem, ...] = ()
    try:
        read_house(document)
    except BadInput as bad:
        problems = bad.problems
    assert len(house_problems.in_place(problems, form)) == len(problems)
    for number, level in enumerate(document["levels"], 1):
        sketch.sketch(level, number)


def test_a_missing_key_is_asked_for_in_words() -> None:
    form = read_form(typed(**{"outline.rectangles[0].width": ""}))
    with pytest.raises(BadInput) as caught:
        read_house(form.document("Lot 7"))
    [(field, says, placed_)] = house_problems.in_place(caught.value.problems, form)
    assert field == f"{RECTANGLES}[0].width"
    assert says == "Enter the width, from west to east."
    assert placed_ == "Ground floor, rectangle 1: Enter the width, from west to east."


def story(name: str, outline: Any, interior: Any, siding: Any, repeat: str = "1") -> dict[str, Any]:
    return {"name": name, "repeat": repeat, "outline": outline, "interior": interior, "siding": siding}


def rectangle(west: str, south: str, width: str, depth: str) -> dict[str, str]:
    return {"west": west, "south": south, "width": width, "depth": depth}


def mixed() -> dict[str, Any]:
    """A house with every way to give a level."""
    walk = [{"heading": h, "length": n} for h, n in (("E", "30"), ("N", "20"), ("W", "30"), ("S", "20"))]
    walk[0]["siding"] = "sided"
    faces = {"by": "face", "north": "open", "east": "sided", "south": "open", "west": "open"}
    both = [rectangle("0", "0", "20", "10"), rectangle("-5", "0", "5", "5")]
    return {
        "name": "Lot 7",
        "levels": [
            story("Ground floor", {"by": "walk", "walls": walk}, {"by": "walls", "lengths": ["12' 6\"", "9"]},
                  "open", repeat="2"),
            story("Second floor", {"by": "area", "floor_area": "900"}, {"by": "ratio"},
                  {"by": "length", "sided": "30", "open": "rest"}),
            story("Third floor", {"by": "measured", "length": "90", "floor_area": "450"},
                  {"by": "measured", "length": "0"}, "wrapped"),
            story("Attic", {"by": "rectangles", "rectangles": both}, {"by": "ratio"}, faces),
        ],
    }  # fmt: skip


def test_a_document_comes_back_from_its_form_as_it_was() -> None:
    assert from_document(mixed()).document("Lot 7") == mixed()


def test_a_form_comes_back_from_what_a_browser_sends_of_it() -> None:
    form = from_document(mixed())
    sent = {
        f"levels[{n}].{at}": text for n, story in enumerate(form.stories) for at, text in story.texts.items()
    }
    for n, story in enumerate(form.stories):
        for kind in house_form.COLUMNS:
            for i, row in enumerate(story.rows(kind)):
                base = f"levels[{n}].{'interior' if kind == 'lengths' else 'outline'}.{kind}[{i}]"
                sent |= {f"{base}.{column}" if column else base: text for column, text in row.items()}
    assert read_form(sent).document("Lot 7") == mixed()


def test_numbers_of_a_document_come_back_as_one_would_type_them() -> None:
    house = read_form(typed()).document("Lot 7")
    house["levels"][0]["outline"]["rectangles"][0] |= {"west": 0, "width": 57, "depth": 27.5}
    assert from_document(house).stories[0].rectangles[0] == {
        "west": "0",
        "south": "0",
        "width": "57",
        "depth": "27.5",
    }


@pytest.mark.parametrize(
    ("pressed", "fresh"),
    [
        (f"add {RECTANGLES}", f"{RECTANGLES}[1].width"),
        (f"add {WALLS}", f"{WALLS}[4].heading"),
        ("add levels[0].interior.lengths", "levels[0].interior.lengths[4]"),
        ("add levels", "levels[1].name"),
        ("add levels[5].outline.walls", None),
        ("add levels[0].outline.roof", None),
        ("remove levels[0]", None),
    ],
)
def test_a_press_adds_a_row_or_a_story_and_says_where_to_go_on(pressed: str, fresh: str | None) -> None:
    assert first_form().press(pressed) == fresh


def test_a_row_is_removed_and_the_others_stay() -> None:
    form = read_form(typed(**{"outline.rectangles[1].width": "12", "outline.rectangles[2].width": "14"}))
    form.press(f"remove {RECTANGLES}[1]")
    assert [row["width"] for row in form.stories[0].rectangles] == ["57'", "14"]


def test_the_last_story_cannot_be_removed() -> None:
    form = first_form()
    form.press("remove levels[0]")
    assert len(form.stories) == 1


def test_a_further_story_begins_with_the_outline_of_the_one_below_but_not_its_interior() -> None:
    form = read_form(typed())
    form.press("add levels")
    second = form.document("Lot 7")["levels"][1]
    assert second["name"] == "Second floor"
    assert second["outline"] == form.document("Lot 7")["levels"][0]["outline"]
    assert "length" not in second["interior"]
