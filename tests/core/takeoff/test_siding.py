"""Siding by level, wall, face or length."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from portal.core.takeoff.feet import FeetByStatus, by_status
from portal.core.takeoff.reading import read_house
from tests.core.houses import (
    answered,
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
    wrong_places,
)

AT = "levels[0].siding"


def feet(outline: Any, siding: Any) -> FeetByStatus:
    return by_status(first(level(outline, siding=siding)))


def said(outline: Any, siding: Any) -> str:
    """The one thing that is wrong with a siding as a whole."""
    ((at, says),) = wrong(lambda: read_house(house(level(outline, siding=siding))))
    assert at == AT
    return says


def test_one_status_is_for_the_whole_level() -> None:
    assert feet(rectangles(), "sided") == FeetByStatus(Fraction(140), Fraction(0), Fraction(0))


def test_each_face_has_its_own_status() -> None:
    assert feet(rectangles(), by_face("sided", "wrapped", "open", "wrapped")) == FeetByStatus(
        Fraction(40), Fraction(60), Fraction(40)
    )


@pytest.mark.parametrize("outline", [walk("E 40, N 30, W 40, S 30"), measured(140), by_area(1200)])
def test_siding_by_face_is_for_rectangles(outline: Any) -> None:
    assert "rectangles" in said(outline, by_face())


def test_a_wall_of_its_own_siding_goes_before_its_level() -> None:
    outline = walk("E 40 sided, N 30, W 40 wrapped, S 30")

    assert feet(outline, "open") == FeetByStatus(Fraction(40), Fraction(40), Fraction(60))


def test_a_level_needs_no_siding_where_every_wall_has_its_own() -> None:
    assert feet(walk("E 40 sided, N 30 open, W 40 sided, S 30 open"), None).sided == 80


@pytest.mark.parametrize(
    "outline", [walk("E 40 sided, N 30 open, W 40 sided, S 30"), rectangles(), measured(140), by_area(900)]
)
def test_else_the_level_must_have_one(outline: Any) -> None:
    assert wrong_places(level(outline, siding=None)) == [AT]


def test_a_wall_with_another_mistake_still_has_its_siding() -> None:
    outline = walk("E x sided, N 30 open, W 40 sided, S 30 brick")

    places = wrong_places(level(outline, siding=None))

    assert places == ["levels[0].outline.walls[0].length", "levels[0].outline.walls[3].siding"]


@pytest.mark.parametrize(
    ("siding", "found"),
    [
        (by_length(sided=100, open="rest"), (100, 0, 40)),
        (by_length(sided=100, open=40), (100, 0, 40)),
        (by_length(sided="50'", wrapped="50'", open=40), (50, 50, 40)),
        (by_length(wrapped="rest"), (0, 140, 0)),
        (by_length(wrapped=140), (0, 140, 0)),
        (by_length(wrapped=140, sided="rest"), (0, 140, 0)),
        (by_length(wrapped=140, sided=0, open="0"), (0, 140, 0)),
        (by_length(sided="rest", open="12-6"), (Fraction(255, 2), 0, Fraction(25, 2))),
    ],
)
@pytest.mark.parametrize("outline", [rectangles(), walk("E 40, N 30, W 40, S 30"), measured(140)])
def test_lengths_by_status_go_with_any_outline(outline: Any, siding: Any, found: tuple[Any, ...]) -> None:
    assert feet(outline, siding) == FeetByStatus(*map(Fraction, found))


@pytest.mark.parametrize(
    ("siding", "words"),
    [
        (by_length(sided=100), "40.00 ft less than the 140.00 ft"),
        (by_length(sided=100, open=50), "10.00 ft more than the 140.00 ft"),
        (by_length(sided=141, open="rest"), "1.00 ft more than the 140.00 ft"),
        (by_length(sided=139.98), "0.02 ft less"),
        (by_length(sided="139.9899"), "0.01 ft less"),
        (by_length(sided=0), "140.00 ft less"),
        (by_length(), "at least one"),
        (by_length(sided="rest", open="rest"), "only one"),
    ],
)
def test_lengths_that_do_not_add_up_are_told_by_how_much(siding: Any, words: str) -> None:
    assert words in said(rectangles(), siding)


@pytest.mark.parametrize(
    ("siding", "found"),
    [
        (by_length(sided="99.99", open=40), ("100", "0", "40")),
        (by_length(sided="100.01", open=40), ("100", "0", "40")),
        (by_length(sided=40, wrapped="0.001", open="100.005"), ("40", "0.001", "99.999")),
        (by_length(sided="140.01", open="rest"), ("140", "0", "0")),
        (by_length(sided="70.005", open="70.005"), ("69.995", "0", "70.005")),
    ],
)
def test_a_hundredth_of_a_foot_is_taken_up_by_the_longest(siding: Any, found: tuple[str, ...]) -> None:
    assert feet(rectangles(), siding) == FeetByStatus(*map(Fraction, found))


def test_what_was_taken_up_is_noted() -> None:
    notes = answered(level(siding=by_length(sided="99.99", open=40)))["notes"]

    assert any("0.01 ft off" in note for note in notes)


@pytest.mark.parametrize("siding", [by_length(sided=10), by_length(sided=10, open=110)])
def test_an_outline_by_area_needs_a_rest(siding: Any) -> None:
    assert "rest" in said(by_area(1200), siding)


def test_the_rest_of_an_outline_by_area_is_of_its_middle() -> None:
    found = feet(by_area(800), by_length(sided=50, open="rest"))

    assert found == FeetByStatus(Fraction(50), Fraction(0), Fraction(70))


def test_walls_of_their_own_siding_do_not_go_with_lengths() -> None:
    assert "their own" in said(walk("E 40 sided, N 30, W 40, S 30"), by_length(open="rest"))


def test_an_outline_that_cannot_be_read_says_nothing_of_its_siding() -> None:
    assert wrong_places(level(rectangles(rectangle(0)), siding=by_length(sided=1))) == [
        "levels[0].outline.rectangles[0].width"
    ]
