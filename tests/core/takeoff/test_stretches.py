"""The stretches that a technician confirms, one by one."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest

from portal.core.takeoff.feet import feet_of
from portal.core.takeoff.stretches import stretches
from tests.core.houses import by_area, by_face, by_length, level, measured, read, rectangles, walk

WALK = walk("E 40 sided, N 30, 270 40, S 30")

SHAPES: list[tuple[Any, Any, list[str]]] = [
    (rectangles(), "open", ["N", "E", "S", "W"]),
    (rectangles(), by_face("sided"), ["N", "E", "S", "W"]),
    (rectangles(), by_length(sided=50, open="rest"), ["sided", "open"]),
    (WALK, "wrapped", ["w1", "w2", "w3", "w4"]),
    (walk("E 40, N 30, W 40, S 30"), by_length(sided=0, open="rest"), ["open"]),
    (measured(99), "open", ["all"]),
    (by_area(977), by_length(wrapped="rest"), ["wrapped"]),
]


@pytest.mark.parametrize(("outline", "siding", "marks"), SHAPES)
def test_each_storey_has_its_stretches(outline: Any, siding: Any, marks: list[str]) -> None:
    found = stretches(read(level(outline, siding=siding, repeat=2), level()))

    assert [s.key for s in found if s.level == 0] == [
        f"1.{storey}.{mark}" for storey in (1, 2) for mark in marks
    ]


@pytest.mark.parametrize(("outline", "siding", "marks"), SHAPES)
def test_the_stretches_of_a_storey_add_up_exactly(outline: Any, siding: Any, marks: list[str]) -> None:
    house = read(level(outline, siding=siding, repeat=2))

    for storey in (1, 2):
        assert (
            sum(s.length for s in stretches(house) if s.storey == storey) == house.levels[0].survey.exterior
        )


def test_keys_are_unique_and_safe_in_a_form() -> None:
    keys = [s.key for s in stretches(read(*[level(repeat=3)] * 12))]

    assert len(set(keys)) == len(keys) == 144 and all(re.fullmatch(r"[0-9A-Za-z.]+", key) for key in keys)


def test_a_stretch_is_called_by_face_wall_or_part() -> None:
    labels = [str(s.label) for s in stretches(read(level(WALK), level(), level(measured(9))))]

    assert labels[:4] == ["wall 1, heading E", "wall 2, heading N", "wall 3, heading W", "wall 4, heading S"]
    assert labels[4:] == ["north side", "east side", "south side", "west side", "all exterior walls"]


@pytest.mark.parametrize(("outline", "siding", "marks"), SHAPES)
def test_the_stretches_of_each_status_add_up_to_the_feet_of_the_house(
    outline: Any, siding: Any, marks: list[str]
) -> None:
    house = read(level(outline, siding=siding, repeat=2))
    added = {status: Fraction(0) for status in ("sided", "wrapped", "open")}

    for stretch in stretches(house):
        added[stretch.status] += stretch.length

    feet = feet_of(house)
    assert (added["sided"], added["wrapped"]) == (feet.second_coat, feet.wrapped)
    assert added["wrapped"] + added["open"] == feet.outside
