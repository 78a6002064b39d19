"""Feet of a house: sums over storeys, and the band of an estimate."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.takeoff.feet import Feet, feet_of, sided_stretches
from portal.core.takeoff.roots import root
from tests.core.houses import (
    by_area,
    by_face,
    by_length,
    first,
    level,
    measured,
    read,
    rectangle,
    rectangles,
    walk,
)

RATIO = {"by": "ratio"}


def feet(*levels: dict[str, object]) -> Feet:
    return feet_of(read(*levels))


def test_total_is_exterior_and_interior() -> None:
    found = feet(level(rectangles(rectangle(57, 27)), measured(128)))

    assert (found.exterior, found.interior, found.total, found.basis) == (168, 128, 296, "measured")


def test_outside_is_what_is_not_sided() -> None:
    found = feet(level(siding=by_face("sided", "wrapped", "open", "wrapped")))

    assert (found.second_coat, found.outside, found.wrapped) == (40, 100, 60)


def test_a_repeated_level_counts_as_often() -> None:
    found = feet(level(repeat=3, siding="sided"), level(measured(10), measured(5)))

    assert (found.exterior, found.interior, found.second_coat) == (430, 305, 420)


def test_inside_walls_can_be_listed() -> None:
    assert feet(level(interior={"by": "walls", "lengths": ["10'", 5.5, '6"']})).interior == 16


def test_the_middle_of_an_area_is_a_rectangle_twice_as_long_as_wide() -> None:
    found = first(level(by_area(1800))).survey

    assert (
        found.exterior == 180
        and found.low == root(Fraction(16 * 1800))
        and found.high == root(Fraction(25 * 1800))
    )


def test_the_low_of_an_area_is_a_square_and_the_high_four_times_as_long_as_wide() -> None:
    found = feet(level(by_area(1600), measured(0)))

    assert (found.low, found.high, found.basis) == (160, 200, "estimated")


def test_inside_walls_by_ratio_are_a_band_too() -> None:
    found = feet(level(rectangles(), RATIO))

    assert found.basis == "estimated"
    assert (found.low, found.total, found.high) == (140 + 75, 140 + Fraction("99.6"), 140 + Fraction("148.8"))


def test_what_is_measured_is_the_same_in_low_and_high() -> None:
    found = feet(level(repeat=2), level(by_area(1600), measured(10)))

    assert (found.low, found.high) == (480 + 170, 480 + 210)


@given(st.integers(1, 10**6), st.integers(1, 1000))
def test_the_root_of_a_perfect_square_is_exact(above: int, below: int) -> None:
    assert root(Fraction(above, below) ** 2) == Fraction(above, below)


@given(st.fractions(Fraction(1, 10**6), 10**9))
def test_any_other_root_holds_to_forty_digits(value: Fraction) -> None:
    found = root(value)

    assert abs(found**2 - value) <= found * Fraction(3, 10**60)


@pytest.mark.parametrize(
    ("siding", "outline", "stretches"),
    [
        ("sided", rectangles(), [(140, 2)]),
        ("open", rectangles(), []),
        (by_face("sided", "open", "sided", "open"), rectangles(), [(40, 2), (40, 2)]),
        (by_length(sided=50, open="rest"), rectangles(), [(50, 2)]),
        (by_length(sided=50, open="rest"), walk("E 40, N 30, W 40, S 30"), [(50, 2)]),
        ("sided", walk("E 40, N 30 open, W 40, S 30"), [(40, 2), (40, 2), (30, 2)]),
        ("sided", measured(99), [(99, 2)]),
        ("sided", by_area(800), [(120, 2)]),
    ],
)
def test_a_stretch_is_a_wall_of_a_walk_or_a_face_or_the_level_s_one_length(
    siding: object, outline: object, stretches: list[tuple[int, int]]
) -> None:
    assert sided_stretches(read(level(outline, siding=siding, repeat=2))) == stretches


def test_a_face_is_one_stretch_even_where_it_is_several_walls() -> None:
    u_shape = rectangles(rectangle(30, 10), rectangle(8, 30), rectangle(5, 22, west=25))

    assert sided_stretches(read(level(u_shape, siding=by_face(north="sided")))) == [(30, 1)]
