"""A level as lines on a sheet."""

from __future__ import annotations

from fractions import Fraction
from math import hypot
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LinearRing

from portal.core.takeoff.plan import Plan, plan
from tests.core.houses import by_area, by_face, by_length, first, level, measured, rectangle, rectangles, walk

COURT = rectangles(
    rectangle(30, 10), rectangle(30, 10, south=20), rectangle(10, 30), rectangle(10, 30, west=20)
)


def drawn(outline: Any, siding: Any = "open") -> Plan:
    found = plan(first(level(outline, siding=siding)))
    assert found
    return found


@pytest.mark.parametrize("outline", [measured(99), by_area(900)])
def test_what_has_no_shape_has_no_plan(outline: Any) -> None:
    assert plan(first(level(outline))) is None


def test_a_rectangle_is_four_walls_with_the_floor_on_their_left() -> None:
    (ring,) = drawn(rectangles(rectangle(40, 30, west=-5, south=2))).rings

    assert [(w.x1, w.y1, w.x2, w.y2, w.length, w.face, w.mark, w.outward) for w in ring] == [
        (-5, 2, 35, 2, 40, "south", "S", (0, -1)),
        (35, 2, 35, 32, 30, "east", "E", (1, 0)),
        (35, 32, -5, 32, 40, "north", "N", (0, 1)),
        (-5, 32, -5, 2, 30, "west", "W", (-1, 0)),
    ]


def test_a_court_is_a_ring_of_its_own_the_other_way_round() -> None:
    outer, court = drawn(COURT).rings

    assert [w.face for w in outer] == ["south", "east", "north", "west"]
    assert [(w.face, w.length, w.outward) for w in court] == [
        ("east", 10, (1, 0)), ("south", 10, (0, -1)), ("west", 10, (-1, 0)), ("north", 10, (0, 1)),
    ]  # fmt: skip


def test_floors_that_touch_in_a_corner_stay_apart() -> None:
    found = drawn(rectangles(rectangle(10, 10), rectangle(10, 10, west=10, south=10)))

    assert [len(ring) for ring in found.rings] == [4, 4]


def test_walls_have_the_siding_of_their_face() -> None:
    found = drawn(COURT, by_face("sided", "wrapped", "open", "open"))

    assert {(w.face, w.status) for ring in found.rings for w in ring} == {
        ("north", "sided"), ("east", "wrapped"), ("south", "open"), ("west", "open"),
    }  # fmt: skip


def test_siding_by_length_has_no_place_on_the_sheet() -> None:
    walls = drawn(rectangles(), by_length(sided=50, open="rest")).rings[0]

    assert {(wall.status, wall.mark) for wall in walls} == {(None, "")}


def test_a_walk_is_drawn_as_walked_with_its_gap() -> None:
    found = drawn(walk("E 40 sided, N 30, W 40, S 29.6"), "wrapped")

    assert [(w.mark, w.status, w.outward) for w in found.rings[0]] == [
        ("w1", "sided", (0, -1)),
        ("w2", "wrapped", (1, 0)),
        ("w3", "wrapped", (0, 1)),
        ("w4", "wrapped", (-1, 0)),
    ]  # fmt: skip
    assert found.gap == (0, Fraction("0.4"), 0, 0) and (found.west, found.north) == (0, 30)


def test_the_outside_of_a_walk_taken_clockwise_is_on_its_left() -> None:
    (ring,) = drawn(walk("N 30, E 40, S 30, W 40")).rings

    assert [w.outward for w in ring] == [(-1, 0), (0, 1), (1, 0), (0, -1)]


def test_a_walk_askew_is_drawn_in_floats_and_measured_exactly() -> None:
    (ring,) = drawn(walk("NE 10, SE 10, SW 10, NW 10")).rings

    assert all(isinstance(w.x1, float) and w.length == 10 for w in ring)
    assert all(hypot(w.x2 - w.x1, w.y2 - w.y1) == pytest.approx(10) for w in ring)


@given(st.lists(st.tuples(*[st.integers(0, 12)] * 2, *[st.integers(1, 9)] * 2), min_size=1, max_size=12))
def test_rings_close_do_not_cross_and_have_the_feet_of_the_level(boxes: list[tuple[int, ...]]) -> None:
    outline = rectangles(*(rectangle(w, d, x, y) for x, y, w, d in boxes))
    exterior = first(level(outline)).survey.exterior

    found = drawn(outline)

    assert sum(wall.length for ring in found.rings for wall in ring) == exterior
    for ring in found.rings:
        assert [(w.x2, w.y2) for w in ring] == [(w.x1, w.y1) for w in (*ring[1:], ring[0])]
        assert all((a.x1 == a.x2) != (b.x1 == b.x2) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))
        assert LinearRing([(float(w.x1), float(w.y1)) for w in ring]).is_valid or touches_itself(ring)


def touches_itself(ring: Any) -> bool:
    corners = [(w.x1, w.y1) for w in ring]
    return len(set(corners)) < len(corners)
