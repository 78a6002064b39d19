"""A walk: feet as measured, the gap back to the start, and what is no outline at all."""

from __future__ import annotations

import time
from fractions import Fraction
from math import atan2, cos, degrees, hypot, radians, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from portal.core.jsontext import Numeral
from portal.core.takeoff.bearings import SCALE, one_foot
from portal.core.takeoff.house import Survey
from tests.core.houses import first, level, read, walk, wrong

L_SHAPE = "E 40, N 20, W 15, N 10, W 25, S 30"


def surveyed(text: str) -> Survey:
    return first(level(walk(text))).survey


def refused(text: str) -> str:
    """What is said of a walk as a whole."""
    ((at, says),) = wrong(lambda: read(level(walk(text))))
    assert at == "levels[0].outline.walls"
    return says


def test_the_feet_of_a_walk_are_the_sum_of_its_walls() -> None:
    found = surveyed(L_SHAPE)

    assert (found.exterior, found.floor_area, found.closing_gap) == (140, 1050, 0)


def test_a_walk_may_go_either_way_round() -> None:
    assert surveyed("N 30, E 25, S 10, E 15, S 20, W 40").floor_area == 1050


@pytest.mark.parametrize(
    "headings", ["NE SE SW NW", "45 135 225 315", "ne Se sW nw", "30 120 210 300", "7.25 97.25 187.25 277.25"]
)
def test_a_square_walked_askew_has_exactly_the_area_of_one_that_stands_straight(headings: str) -> None:
    turns = headings.split()

    found = surveyed(", ".join(f"{turn} 20.3" for turn in turns))

    assert (found.exterior, found.floor_area, found.closing_gap) == (Fraction("81.2"), Fraction("412.09"), 0)


def test_zero_and_three_hundred_and_sixty_degrees_are_both_north() -> None:
    assert surveyed("0 10, 90 10, 180.0 10, 270 10") == surveyed("360 10, E 10, S 10, W 10")


@pytest.mark.parametrize(
    "heading", ["NNE", "north", "", "361", "-1", "1e1", "360.01", True, None, [], "N E", "+5"]
)
def test_what_is_no_heading_is_told_at_its_wall(heading: Any) -> None:
    outline = walk(L_SHAPE)
    outline["walls"][2]["heading"] = heading

    assert [at for at, _ in wrong(lambda: read(level(outline)))] == ["levels[0].outline.walls[2].heading"]


@pytest.mark.parametrize("heading", [270, 270.0, "270", "270.00", Numeral("2.7e2"), " w "])
def test_degrees_are_numbers_however_they_are_written(heading: Any) -> None:
    outline = walk(L_SHAPE)
    outline["walls"][2]["heading"] = heading

    assert first(level(outline)).survey.closing_gap == 0


@given(st.fractions(0, 360, max_denominator=1000))
def test_one_foot_of_any_heading_leads_where_trigonometry_says(degrees: Fraction) -> None:
    east, north = one_foot(degrees)

    assert east / SCALE == pytest.approx(sin(radians(degrees)), abs=1e-14)
    assert north / SCALE == pytest.approx(cos(radians(degrees)), abs=1e-14)
    assert abs(east**2 + north**2 - SCALE**2) < 4 * SCALE


@pytest.mark.parametrize(("last", "gap"), {"29.5": "1/2", "30.5": "1/2", "29.75": "1/4", "30": "0"}.items())
def test_a_gap_up_to_half_a_foot_passes_and_is_told(last: str, gap: str) -> None:
    found = surveyed(f"E 10, N 30, W 10, S {last}")

    assert (found.closing_gap, found.exterior) == (Fraction(gap), 50 + Fraction(last))


def test_a_gap_of_half_a_percent_of_a_long_walk_passes() -> None:
    # Walls of 400 ft in all, and a gap of 2 ft: equality at the limit passes.
    assert surveyed("E 100, N 101, W 100, S 99").closing_gap == 2
    assert "at most 2.00 ft" in refused("E 100, N 101.01, W 100, S 98.99")


def test_a_gap_askew_is_measured_to_the_full() -> None:
    found = surveyed("E 40.3, N 30.4, W 40, S 30")

    assert (found.closing_gap, found.exterior) == (Fraction(1, 2), Fraction("140.7"))


@pytest.mark.parametrize(
    ("text", "far", "missing"),
    [
        ("E 40, N 30, W 40, S 27", "3.00 ft north of", "3.00 ft south is"),
        ("E 40, N 30, W 40, S 33", "3.00 ft south of", "3.00 ft north is"),
        ("E 40, N 30, W 37, S 30", "3.00 ft east of", "3.00 ft west is"),
        ("E 40, N 30, W 43, S 30", "3.00 ft west of", "3.00 ft east is"),
        ("E 40, N 30, W 37, S 26", "5.00 ft northeast of", "4.00 ft south and 3.00 ft west are"),
        ("E 40, N 30, W 43, S 34", "5.00 ft southwest of", "4.00 ft north and 3.00 ft east are"),
        ("E 40, N 30, W 43, S 26", "5.00 ft northwest of", "4.00 ft south and 3.00 ft east are"),
        ("E 40, N 30, W 37, S 34", "5.00 ft southeast of", "4.00 ft north and 3.00 ft west are"),
        ("E 40, N 30, W 37, S 29", "3.16 ft east of", "3.00 ft west and 1.00 ft south are"),
        ("45 40, 315 30, 225 40, 135 33", "3.00 ft southeast of", "2.12 ft north and 2.12 ft west are"),
    ],
)
def test_a_walk_that_does_not_close_is_told_how_far_and_which_way(text: str, far: str, missing: str) -> None:
    assert f"it ends {far} its start, so {missing} missing" in refused(text)


CROSSING = {
    "a figure of eight": "E 20, N 10, W 10, S 20, W 10, N 10",
    "a wall that cuts another": "E 20, N 20, W 10, S 25, W 10, N 5",
    "a wall along another": "E 20, N 10, W 10, S 10, E 5, N 20, W 15, S 20",
    "a corner on a wall": "E 20, N 20, W 10, S 20, W 5, N 20, W 5, S 20",
    "a corner on a corner": "E 10, N 10, E 10, N 10, W 10, S 10, W 10, S 10",
    "folding back": "E 20, E 10, W 10, N 20, W 20, S 20",
    "folding back at the start": "E 20, N 10, W 30, S 10, E 20, W 10",
    "a corner on a wall askew": "45 20, 135 20, 225 10, 315 20, 225 5, 135 20, 225 5, 315 20",
}  # fmt: skip


@pytest.mark.parametrize("text", CROSSING.values(), ids=CROSSING)
def test_a_walk_that_crosses_touches_or_folds_back_is_refused(text: str) -> None:
    assert "crosses or touches" in refused(text) or "folds back" in refused(text)


OVERSHOOTING = {
    "straight over the start": "E 40, N 30, W 40, S 30.4",
    "cutting the first wall": "E 40, N 30, W 39.8, S 30.3",
    "along the first wall": "E 20, N 30, W 40, S 30, E 20.4",
    "short of the start": "E 40, N 30, W 40.3, S 29.7",
    "past the start": "E 40, N 30, W 40.3, S 30.3",
    "ending on the first wall": "E 40, N 30, W 39.6, S 30",
    "askew": "45 40, 315 30, 225 39.8, 135 30.3",
}


@pytest.mark.parametrize("text", OVERSHOOTING.values(), ids=OVERSHOOTING)
def test_where_the_last_wall_meets_the_first_near_the_start_is_no_crossing(text: str) -> None:
    assert surveyed(text).closing_gap


def test_the_last_wall_may_not_meet_the_first_far_from_the_start() -> None:
    # It cuts the first wall five feet from the start and ends 0.3 ft from it.
    assert "wall 5 crosses or touches wall 1" in refused("E 30, N 20, W 20, S 19.7, 266.5664 10.018")


def test_a_first_wall_shorter_than_the_overshoot_does_not_hide_a_crossing() -> None:
    assert "wall 6 crosses or touches wall 2" in refused("E 0.2, S 5, E 30, N 35, W 30, S 30.4")


def test_the_line_that_closes_a_walk_may_not_cross_a_wall() -> None:
    assert "the straight line that closes the walk" in refused("N 0.3, E 20, N 20, W 19.8, S 19.9")


def test_a_straight_corner_is_no_fault() -> None:
    assert surveyed("E 10, E 10, N 10, W 20, S 10").exterior == 60


def test_a_walk_of_no_area_is_refused() -> None:
    # The loop of the overshoot, walked the other way round, is as large as the floor.
    assert "no floor" in refused("E 0.4, N 0.2, W 0.2, S 0.6")


def test_the_area_of_a_walk_with_a_gap_is_closed_by_a_straight_line() -> None:
    assert surveyed("E 40, N 30, W 40, S 29.6").floor_area == 1200
    assert surveyed("E 40, N 30, W 39.6, S 30").floor_area == Fraction("39.6") * 30


ways = st.lists(st.tuples(st.integers(1, 359), st.integers(20, 400)), min_size=3, max_size=9)


@given(ways)
def test_a_walk_is_sound_where_an_independent_library_says_so(steps: list[tuple[int, int]]) -> None:
    corners, east, north = [(0.0, 0.0)], 0.0, 0.0
    for heading, tenths in sorted(steps):
        east, north = east + tenths / 10 * sin(radians(heading)), north + tenths / 10 * cos(radians(heading))
        corners.append((east, north))
    polygon = Polygon(corners[:-1])
    last = corners[-2]
    if polygon.area < 1 or not polygon.is_valid or min(abs(last[0]), abs(last[1])) < 0.1:
        return
    # Closed by a wall of its own, whose heading and length are reckoned in floats: a hair of a gap.
    heading, length = heading_back(last)

    found = surveyed(
        ", ".join(f"{h} {t / 10}" for h, t in sorted(steps)[:-1]) + f", {heading:.12f} {length:.12f}"
    )

    assert float(found.floor_area or 0) == pytest.approx(polygon.area, rel=1e-9)


def heading_back(corner: tuple[float, float]) -> tuple[float, float]:
    return degrees(atan2(-corner[0], -corner[1])) % 360, hypot(*corner)


def test_two_hundred_walls_are_judged_quickly() -> None:
    sides = ", ".join(f"{i * 1.8:.1f} 5" for i in range(200))
    start = time.perf_counter()

    found = surveyed(sides)

    assert found.exterior == 1000 and time.perf_counter() - start < 2
