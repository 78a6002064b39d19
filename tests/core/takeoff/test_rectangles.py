"""A floor of rectangles is their union: feet of its boundary by face, and its area."""

from __future__ import annotations

import time
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, box, unary_union

from portal.core.takeoff.house import Rectangle, Survey
from portal.core.takeoff.union import survey
from tests.core.houses import first, level, rectangle, rectangles

Box = tuple[Fraction, Fraction, Fraction, Fraction]


def surveyed(*boxes: tuple[Any, Any, Any, Any]) -> Survey:
    """Of rectangles given as west, south, width, depth."""
    return survey([Rectangle(*map(Fraction, each)) for each in boxes])


quarters = st.integers(-40, 40).map(lambda n: Fraction(n, 4))
inches = st.integers(-99, 99).map(lambda n: Fraction(n, 12))
sizes = st.integers(1, 60).map(lambda n: Fraction(n, 4))
boxes = st.lists(st.tuples(quarters | inches, quarters, sizes, sizes), min_size=1, max_size=9)


def test_an_overlap_adds_nothing() -> None:
    assert surveyed((0, 0, 40, 30), (30, 0, 20, 30)).exterior == 160


def test_a_slit_between_floors_that_touch_adds_nothing() -> None:
    found = surveyed((0, 0, 20, 30), (20, 0, 20, 30))

    assert (found.exterior, found.floor_area, found.slit) == (140, 1200, False)


def test_a_court_counts_with_its_inner_walls() -> None:
    found = surveyed((0, 0, 30, 10), (0, 20, 30, 10), (0, 0, 10, 30), (20, 0, 10, 30))

    assert (found.exterior, found.floor_area, found.faces) == (160, 800, (40, 40, 40, 40))


def test_parts_that_stand_apart_count_each() -> None:
    assert surveyed((0, 0, 10, 10), (20, 0, 10, 10)).exterior == 80


def test_parts_that_touch_in_a_corner_keep_all_their_walls() -> None:
    assert surveyed((0, 0, 10, 10), (10, 10, 10, 10)).exterior == 80


def test_parts_that_share_a_piece_of_a_side_lose_it_on_both() -> None:
    assert surveyed((0, 0, 10, 10), (10, 4, 10, 10)).exterior == 80 - 2 * 6


def test_a_stretch_belongs_to_the_face_that_its_outside_looks_at() -> None:
    u_shape = surveyed((0, 0, 30, 10), (0, 10, 8, 20), (25, 10, 5, 12))

    assert u_shape.faces == (30, 42, 30, 42) and u_shape.exterior == 144


def test_west_and_south_may_be_on_the_other_side_of_the_origin() -> None:
    found = first(
        level(rectangles(rectangle(10, 10, west="-5'", south=-5), rectangle(10, 10, west=5, south="-5")))
    )

    assert found.survey.exterior == 60


@pytest.mark.parametrize(("apart", "slit"), [("0", False), ("1/24", True), ("1/12", False), ("1/1000", True)])
def test_parts_less_than_an_inch_apart_are_pointed_out(apart: str, slit: bool) -> None:
    across = surveyed((0, 0, 10, 10), (10 + Fraction(apart), 0, 10, 10))
    upward = surveyed((0, 0, 10, 10), (2, 10 + Fraction(apart), 5, 10))

    assert (across.slit, upward.slit) == (slit, slit)


@pytest.mark.parametrize(
    ("east", "north", "slit"),
    [
        ("0", "0", False),
        ("1/24", "0", True),
        ("0", "1/24", True),
        ("1/24", "1/24", True),
        ("1/12", "0", False),
        ("1/16", "1/16", False),
    ],
)
def test_corners_less_than_an_inch_apart_are_pointed_out(east: str, north: str, slit: bool) -> None:
    beside, above = 10 + Fraction(east), 10 + Fraction(north)

    assert surveyed((0, 0, 10, 10), (beside, above, 10, 10)).slit == slit
    assert surveyed((0, 0, 10, 10), (-beside, above, 10, 10)).slit == slit
    # A third piece between them makes them one floor.
    assert not surveyed((0, 0, 10, 10), (beside, above, 10, 10), (9, 9, 3, 3)).slit


@given(boxes)
def test_the_feet_are_those_of_an_independent_library(each: list[Box]) -> None:
    union = unary_union([box(float(w), float(s), float(w + x), float(s + y)) for w, s, x, y in each])

    found = surveyed(*each)

    assert float(found.exterior) == pytest.approx(union.length, rel=1e-12)
    assert float(found.floor_area or 0) == pytest.approx(union.area, rel=1e-12)


@given(boxes)
def test_the_faces_are_those_of_an_independent_library(each: list[Box]) -> None:
    union = unary_union([box(float(w), float(s), float(w + x), float(s + y)) for w, s, x, y in each])
    parts = list(union.geoms) if isinstance(union, MultiPolygon) else [union]
    north = sum(westward(part) for part in parts if isinstance(part, Polygon))

    assert float((surveyed(*each).faces or (0,))[0]) == pytest.approx(north, rel=1e-12)


def westward(part: Polygon) -> float:
    """Feet of boundary with the floor south of it: of rings with the floor on the left, those going west."""
    part = part.normalize()
    rings = [list(part.exterior.coords)[:: -1 if part.exterior.is_ccw is False else 1]]
    rings += [list(ring.coords)[:: -1 if ring.is_ccw else 1] for ring in part.interiors]
    return sum(max(0, a[0] - b[0]) for ring in rings for a, b in pairwise(ring))


@given(boxes, st.randoms(use_true_random=False))
def test_the_order_of_the_rectangles_does_not_matter(each: list[Box], random: Any) -> None:
    mixed = random.sample(each, len(each))

    assert surveyed(*mixed) == surveyed(*each)


@given(boxes, st.integers(0, 8), st.integers(1, 9), st.booleans())
def test_splitting_a_rectangle_changes_nothing(
    each: list[Box], which: int, tenths: int, across: bool
) -> None:
    west, south, width, depth = each.pop(which % len(each))
    share = Fraction(tenths, 10)
    if across:
        halves = [
            (west, south, width * share, depth),
            (west + width * share, south, width * (1 - share), depth),
        ]
    else:
        halves = [
            (west, south, width, depth * share),
            (west, south + depth * share, width, depth * (1 - share)),
        ]

    whole = surveyed(*each, (west, south, width, depth))
    split = surveyed(*each, *halves)

    assert (split.exterior, split.floor_area, split.faces) == (whole.exterior, whole.floor_area, whole.faces)


@given(boxes, inches, quarters)
def test_a_shift_of_the_whole_changes_nothing(each: list[Box], east: Fraction, north: Fraction) -> None:
    assert surveyed(*((w + east, s + north, x, y) for w, s, x, y in each)) == surveyed(*each)


@given(boxes)
def test_a_quarter_turn_moves_each_face_to_the_next(each: list[Box]) -> None:
    straight = surveyed(*each)
    turned = surveyed(*((s, -w - x, y, x) for w, s, x, y in each))

    north, east, south, west = straight.faces or (0, 0, 0, 0)
    assert turned.faces == (west, north, east, south)
    assert (turned.exterior, turned.floor_area) == (straight.exterior, straight.floor_area)


def test_sixty_rectangles_are_quick() -> None:
    each = [(Fraction(i * 7 % 61, 7), Fraction(i * 11 % 59, 9), 20 + i, 90 - i) for i in range(60)]
    start = time.perf_counter()

    surveyed(*each)

    assert time.perf_counter() - start < 0.5
