"""A house flipped east to west: the same feet, gallons, minutes and price; twice is there and back."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity, box, unary_union

from portal.core.errors import BadInput
from portal.core.estimate import answer, estimate
from portal.core.pricing.rates import read_rates
from portal.core.takeoff.house import Rectangles, Walk
from portal.core.takeoff.lengths import read_length
from portal.core.takeoff.mirror import mirrored, same_walls, written
from portal.core.takeoff.reading import read_house
from tests.core.houses import (
    by_area,
    by_face,
    by_length,
    first,
    house,
    level,
    measured,
    rectangle,
    rectangles,
    walk,
    wrong,
)

RATES = read_rates({"tax_percent": "7", "call_out": "35", "second_coat_per_foot": "0.63"})

L_SHAPE = rectangles(rectangle(40, 30), rectangle("20' 6\"", 16, west=40))
WALK = walk("E 40, N 20 sided, W 10, N 10 wrapped, W 30, S 30")

statuses = st.sampled_from(["open", "wrapped", "sided"])
typed = st.one_of(
    st.integers(1, 90).map(str),
    st.integers(1, 999).map(lambda n: f"{n // 12}' {n % 12}\""),
    st.tuples(st.integers(1, 60), st.integers(0, 11), st.integers(1, 15)).map(
        lambda f: f"{f[0]}' {f[1]} {f[2]}/16\""
    ),
    st.integers(1, 9000).map(lambda n: f"{n / 100:.2f}"),
    st.integers(1, 2500).map(lambda n: f"{n / 100:.2f} m"),
)
placed = st.one_of(st.just("0"), typed, typed.map(lambda text: f"-{text}"))
boxes = st.fixed_dictionaries({"west": placed, "south": placed, "width": typed, "depth": typed})
faces = st.fixed_dictionaries(dict.fromkeys(("north", "east", "south", "west"), statuses))


@st.composite
def walked(draw: st.DrawFn) -> Any:
    """A rectangle with a notch, walked in any of the eight ways a closed walk may begin."""
    across, up, notch, back = (draw(st.integers(4, 40)) for _ in range(4))
    turn = draw(st.integers(0, 359))
    sides = [(0, up + notch), (90, across), (180, notch), (90, back), (180, up), (270, across + back)]
    walls = [
        {"heading": str((heading + turn) % 360), "length": str(length), "siding": draw(statuses)}
        for heading, length in sides
    ]
    return {"by": "walk", "walls": walls}


levels = st.one_of(
    st.builds(
        lambda rows, siding, repeat: level(
            {"by": "rectangles", "rectangles": rows}, siding={"by": "face", **siding}, repeat=repeat
        ),
        st.lists(boxes, min_size=1, max_size=5), faces, st.integers(1, 3),
    ),
    walked().map(lambda outline: level(outline, siding="open")),
    st.integers(200, 4000).map(lambda area: level(by_area(area), interior={"by": "ratio"})),
    st.integers(40, 400).map(lambda feet: level(measured(feet), siding=by_length(sided=20, open="rest"))),
)  # fmt: skip
houses = st.lists(levels, min_size=1, max_size=3).map(lambda found: house(*found))


def figures(document: Any) -> dict[str, Any]:
    """Everything the engine says of a house, but in which direction a gap lies."""
    said = answer(estimate(read_house(document), rates=RATES))
    return {key: value for key, value in said.items() if key != "notes"}


@given(houses)
def test_a_mirrored_house_measures_takes_and_costs_the_same(document: Any) -> None:
    flipped = mirrored(document)

    assert figures(flipped) == figures(document)


@given(houses)
def test_twice_mirrored_measures_what_was_entered(document: Any) -> None:
    there_and_back = mirrored(mirrored(document))

    assert read_house(there_and_back) == read_house(document)


@given(st.lists(boxes, min_size=1, max_size=6))
def test_the_floor_is_the_mirror_image_that_shapely_makes_of_it(rows: list[Any]) -> None:
    """Shapely, an independent library: its own reflection of the same floor covers what ours covers."""

    def floor(document: Any) -> Any:
        outline = read_house(document).levels[0].outline
        assert isinstance(outline, Rectangles)
        return unary_union(
            [
                box(float(r.west), float(r.south), float(r.west + r.width), float(r.south + r.depth))
                for r in outline.rectangles
            ]
        )

    document = house(level({"by": "rectangles", "rectangles": rows}))
    before, after = floor(document), floor(mirrored(document))
    west, _, east, _ = before.bounds
    image = affinity.scale(before, xfact=-1, origin=((west + east) / 2, 0))

    assert after.symmetric_difference(image).area < 1e-6 * before.area


def test_edges_are_turned_and_written_as_one_would_type_them() -> None:
    flipped = mirrored(house(level(L_SHAPE, siding=by_face(east="sided", west="wrapped"))))

    assert [row["west"] for row in flipped["levels"][0]["outline"]["rectangles"]] == ["20' 6\"", "0"]
    assert flipped["levels"][0]["siding"] == by_face(east="wrapped", west="sided")


def test_stories_stay_above_each_other() -> None:
    flipped = mirrored(
        house(
            level(rectangles(rectangle(60, 30)), name="Ground floor"),
            level(rectangles(rectangle(20, 30)), name="Second floor"),
        )
    )

    second = flipped["levels"][1]["outline"]["rectangles"][0]
    assert second["west"] == "40"


def test_a_walk_is_walked_the_other_way_around_each_wall_with_its_own_siding() -> None:
    flipped = mirrored(house(level(WALK)))["levels"][0]["outline"]["walls"]

    assert [wall["heading"] for wall in flipped] == ["W", "N", "E", "N", "E", "S"]
    assert [wall.get("siding") for wall in flipped] == [None, "sided", None, "wrapped", None, None]


def test_headings_between_the_named_ones_are_turned_in_degrees() -> None:
    slanted = walk("30 40, 120 20, 210 40, 300.0 20")

    flipped = mirrored(house(level(slanted)))["levels"][0]["outline"]["walls"]

    assert [wall["heading"] for wall in flipped] == ["330", "240", "150", "60"]
    diagonal = first(mirrored(house(level(walk("NE 20, SE 20, SW 20, NW 20"))))["levels"][0]).outline
    assert isinstance(diagonal, Walk)
    assert [int(wall.heading) for wall in diagonal.walls] == [315, 225, 135, 45]


def test_a_house_that_the_engine_does_not_take_is_not_turned() -> None:
    assert wrong(lambda: mirrored(house(level(rectangles(rectangle(width="wide"))))))[0][0] == (
        "levels[0].outline.rectangles[0].width"
    )


@given(st.one_of(placed, st.tuples(placed, typed)))
def test_a_written_length_reads_back_as_the_same_length(lengths: Any) -> None:
    each = [lengths] if isinstance(lengths, str) else list(lengths)
    feet = sum((read_length(text, signed=True) for text in each), Fraction(0))

    assert read_length(written(feet), signed=True) == feet


@pytest.mark.parametrize(
    ("feet", "text"),
    [
        (Fraction(0), "0"), (Fraction(32), "32"), (Fraction(65, 2), "32' 6\""),
        (Fraction(-65, 2), "-32' 6\""), (Fraction(1, 24), "0' 1/2\""),
        (Fraction(1537, 192), "8' 1/16\""), (Fraction("31.97"), "31.97"),
        (Fraction("9.75") * 10_000 / 3_048, "9.75 m"), (Fraction(1, 36), '0 1/3"'),
    ],
)  # fmt: skip
def test_how_a_length_is_written(feet: Fraction, text: str) -> None:
    assert written(feet) == text


def test_a_length_that_no_text_says_is_refused_at_its_place() -> None:
    with pytest.raises(BadInput) as caught:
        written(Fraction(1, 7**9), "levels[0]")

    assert caught.value.problems[0].at == "levels[0]"


def test_the_same_walls_are_the_same_however_they_are_written_and_whatever_is_outside() -> None:
    one = house(level(rectangles(rectangle("32' 6\"", 30)), name="Main"), name="Lot 4")
    other = house(
        level(rectangles(rectangle(32.5, "30 ft")), siding=by_face(north="sided"), name="First"),
        name="Lot 5",
    )

    assert same_walls(one, other)
    assert same_walls(house(level(WALK)), house(level(walk("E 40, N 20, W 10, N 10, W 30, S 30"))))


@pytest.mark.parametrize(
    "other",
    [
        level(rectangles(rectangle(40, 31))), level(interior=measured(101)), level(repeat=2),
        level(measured(140)), level(rectangles(rectangle(40, 30, west=1))),
    ],
)  # fmt: skip
def test_other_walls_are_told_apart(other: Any) -> None:
    assert not same_walls(house(level()), house(other))
    assert not same_walls(house(level()), house(level(), level()))
