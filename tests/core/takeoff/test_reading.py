"""Everything that is wrong with a house document is found, each at its own path."""

from __future__ import annotations

from typing import Any

import pytest

from portal.core.jsontext import parse_json
from portal.core.takeoff.reading import read_house
from tests.core.houses import (
    by_area,
    by_face,
    by_length,
    first,
    house,
    level,
    measured,
    read,
    rectangle,
    rectangles,
    walk,
    wrong,
    wrong_places,
)

OUT = "levels[0].outline"


def test_every_problem_is_found_and_not_just_the_first() -> None:
    bad = house(
        level(rectangles(rectangle(width=0, depth="5 yd")), repeat=61, roof=1), level(siding="brick"), lot=4
    )
    bad["name"] = ""

    places = {at for at, _ in wrong(lambda: read_house(bad))}

    assert places == {
        "name",
        "lot",
        "levels[0].repeat",
        "levels[0].roof",
        "levels[1].siding",
        f"{OUT}.rectangles[0].width",
        f"{OUT}.rectangles[0].depth",
    }


@pytest.mark.parametrize("document", [[], "house", 4, None, True])
def test_a_document_must_be_an_object(document: object) -> None:
    assert [at for at, _ in wrong(lambda: read_house(document))] == [""]


def test_missing_keys_are_told_at_their_own_paths() -> None:
    assert {at for at, _ in wrong(lambda: read_house({}))} == {"name", "levels"}
    assert set(wrong_places({})) == {f"levels[0].{key}" for key in ("name", "outline", "interior", "siding")}


MISSING: list[tuple[dict[str, Any], set[str]]] = [
    ({"outline": {}}, {"outline.by"}),
    ({"outline": {"by": "rectangles"}}, {"outline.rectangles"}),
    (
        {"outline": rectangles({})},
        {f"outline.rectangles[0].{k}" for k in ("west", "south", "width", "depth")},
    ),
    ({"outline": {"by": "walk"}}, {"outline.walls"}),
    (
        {"outline": {"by": "walk", "walls": [{}] * 3}},
        {f"outline.walls[{i}].{k}" for i in range(3) for k in ("heading", "length")},
    ),
    ({"outline": {"by": "measured"}}, {"outline.length"}),
    ({"outline": {"by": "area"}}, {"outline.floor_area"}),
    ({"interior": {}}, {"interior.by"}),
    ({"interior": {"by": "measured"}}, {"interior.length"}),
    ({"interior": {"by": "walls"}}, {"interior.lengths"}),
    ({"siding": {}}, {"siding.by"}),
    ({"siding": {"by": "face", "north": "open"}}, {"siding.east", "siding.south", "siding.west"}),
    ({"siding": {"by": "length"}}, {"siding"}),
]


@pytest.mark.parametrize(("parts", "places"), MISSING, ids=lambda part: str(sorted(part))[:40])
def test_what_is_missing_further_in_is_told_at_its_own_path(parts: dict[str, Any], places: set[str]) -> None:
    assert set(wrong_places(level(**parts))) == {f"levels[0].{place}" for place in places}


UNKNOWN: list[tuple[dict[str, Any], str]] = [
    ({"outline": {**rectangles(), "height": 9}}, "outline.height"),
    ({"outline": rectangles({**rectangle(), "north": 1})}, "outline.rectangles[0].north"),
    ({"outline": {**measured(100), "rectangles": []}}, "outline.rectangles"),
    ({"outline": {**by_area(900), "length": 3}}, "outline.length"),
    ({"interior": {"by": "ratio", "ratio": "0.1"}}, "interior.ratio"),
    ({"interior": {**measured(3), "lengths": []}}, "interior.lengths"),
    ({"siding": {**by_face(), "up": "open"}}, "siding.up"),
    ({"siding": by_length(open="rest", brick=4)}, "siding.brick"),
    ({"Siding": "open"}, "Siding"),
]


@pytest.mark.parametrize(("parts", "place"), UNKNOWN, ids=lambda part: str(part)[:40])
def test_an_unknown_key_anywhere_is_named(parts: dict[str, Any], place: str) -> None:
    ((at, says),) = wrong(lambda: read(level(**parts)))

    assert at == f"levels[0].{place}" and place.rpartition(".")[2] in says


def test_a_key_of_great_length_is_cut_in_its_path() -> None:
    ((at, says),) = wrong(lambda: read_house(house(**{"x\n" * 10_000: 1})))

    assert len(at) < 70 and len(says) < 100 and "\n" not in at


WRONG_KINDS: list[tuple[str, Any]] = [
    ("name", 5),
    ("name", None),
    ("name", ""),
    ("name", "x" * 201),
    ("name", "a\tb"),
    ("name", "a\x85b"),
    ("name", "\ud800"),
    ("name", ["x"]),
    ("outline", "rectangles"),
    ("outline", None),
    ("interior", 128),
    ("siding", "OPEN"),
    ("siding", "bare"),
    ("siding", None),
    ("siding", ["open"]),
    ("siding", 1),
    ("repeat", 0),
    ("repeat", 61),
    ("repeat", 1.5),
    ("repeat", True),
    ("repeat", None),
    ("repeat", "two"),
    ("repeat", "1e1"),
    ("repeat", -1),
    ("repeat", []),
    ("repeat", "+2"),
]


@pytest.mark.parametrize(("key", "value"), WRONG_KINDS, ids=repr)
def test_a_value_of_the_wrong_kind_is_told_at_its_key(key: str, value: Any) -> None:
    assert wrong_places({**level(), key: value}) == [f"levels[0].{key}"]


@pytest.mark.parametrize("key", ["outline", "interior", "siding"])
@pytest.mark.parametrize("way", ["feet", 3, None, [], "Measured"])
def test_an_unknown_way_to_give_something_is_told_at_by(key: str, way: Any) -> None:
    assert wrong_places({**level(), key: {"by": way}}) == [f"levels[0].{key}.by"]


@pytest.mark.parametrize("value", [1, "2", 2.0, "3.0", 60])
def test_repeat_is_a_whole_number_however_it_is_written(value: Any) -> None:
    assert first(level(repeat=value)).repeat == float(value)


def test_repeat_may_be_written_with_a_power_of_ten_as_a_number() -> None:
    assert first({**level(), "repeat": parse_json("6e1")}).repeat == 60


@pytest.mark.parametrize("name", ["x", "x" * 200, " ", "Großes Haus № 7", "👷\u200d♀️"])
def test_a_name_has_up_to_two_hundred_characters_of_any_script(name: str) -> None:
    assert first({**level(), "name": name}).name == name


def test_names_may_repeat() -> None:
    assert len(read(level(), level()).levels) == 2


COUNTS: list[tuple[dict[str, Any], int, int, str]] = [
    ({"outline": {"by": "rectangles"}}, 1, 60, "outline.rectangles"),
    ({"interior": {"by": "walls"}}, 1, 500, "interior.lengths"),
]


@pytest.mark.parametrize(("parts", "least", "most", "place"), COUNTS, ids=["rectangles", "lengths"])
def test_a_list_holds_as_many_as_it_may(parts: dict[str, Any], least: int, most: int, place: str) -> None:
    def of(count: int) -> dict[str, Any]:
        each = [rectangle()] * count if "outline" in parts else [5] * count
        ((key, given),) = parts.items()
        return level(**{key: {**given, place.rpartition(".")[2]: each}})

    assert read(of(least)) and read(of(most))
    assert wrong_places(of(least - 1)) == wrong_places(of(most + 1)) == [f"levels[0].{place}"]


def test_a_house_has_one_to_twelve_levels() -> None:
    assert len(read(*[level()] * 12).levels) == 12
    assert wrong_places(*[level()] * 13) == ["levels"]
    assert [at for at, _ in wrong(lambda: read_house({"name": "x", "levels": []}))] == ["levels"]


def test_a_walk_has_three_to_two_hundred_walls() -> None:
    steps = ", ".join(["E 1, S 1"] * 99)

    assert first(level(walk(f"{steps}, W 99, N 99"))).survey.exterior == 396
    assert wrong_places(level(walk(f"E 1, {steps}, W 100, N 99"))) == [f"{OUT}.walls"]
    assert wrong_places(level(walk("E 5, W 5"))) == [f"{OUT}.walls"]


LENGTHS: list[tuple[dict[str, Any], str]] = [
    ({"outline": rectangles(rectangle(west="x"))}, "outline.rectangles[0].west"),
    ({"outline": rectangles(rectangle(), rectangle(depth=-1))}, "outline.rectangles[1].depth"),
    (
        {
            "outline": {
                "by": "walk",
                "walls": [{"heading": "E", "length": 0}] * 1 + walk("N 4, W 4, S 4")["walls"],
            }
        },
        "outline.walls[0].length",
    ),
    ({"outline": measured("5001'")}, "outline.length"),
    ({"interior": measured("-1")}, "interior.length"),
    ({"interior": {"by": "walls", "lengths": [5, 0]}}, "interior.lengths[1]"),
    ({"siding": by_length(open="rest", sided="x")}, "siding.sided"),
    ({"siding": by_length(open="rest", sided="REST")}, "siding.sided"),
]


@pytest.mark.parametrize(("parts", "place"), LENGTHS, ids=lambda part: str(part)[:40])
def test_a_bad_length_is_told_where_it_stands(parts: dict[str, Any], place: str) -> None:
    assert wrong_places(level(**parts)) == [f"levels[0].{place}"]


def test_inside_walls_of_no_length_at_all_are_fine_where_measured() -> None:
    assert first(level(interior=measured(0))).interior.length == 0  # type: ignore[union-attr]


@pytest.mark.parametrize("area", ["0.5", 1, "25000000", 25_000_000, " 900 ", ".5"])
def test_a_floor_area_is_a_number_of_square_feet(area: Any) -> None:
    assert first(level(by_area(area))).survey.floor_area == float(area)


@pytest.mark.parametrize(
    "area", [0, -1, "0", "25000000.01", "900 ft²", "1e3", "1,200", True, None, [], "", "٣"]
)
def test_what_is_no_floor_area_is_refused(area: Any) -> None:
    assert wrong_places(level(by_area(area))) == [f"{OUT}.floor_area"]
    assert wrong_places(level(measured(100, floor_area=area))) == [f"{OUT}.floor_area"]


def test_a_number_with_a_power_beyond_all_reach_is_refused_at_once() -> None:
    document = parse_json('{"by": "area", "floor_area": 1e999999999}')

    assert wrong_places(level(document)) == [f"{OUT}.floor_area"]
    assert wrong_places(level(by_area(parse_json("-0e-999999999")))) == [f"{OUT}.floor_area"]
    assert wrong_places(level(by_area(parse_json("9" * 5000)))) == [f"{OUT}.floor_area"]


def test_inside_walls_by_ratio_need_a_floor_area() -> None:
    ratio = {"by": "ratio"}

    assert wrong_places(level(measured(100), ratio)) == ["levels[0].interior"]
    assert read(level(measured(100, floor_area=900), ratio))
    assert wrong_places(level(measured(100, floor_area=0), ratio)) == [f"{OUT}.floor_area"]
