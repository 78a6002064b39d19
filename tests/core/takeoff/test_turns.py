"""Turns become headings: right is clockwise, as azimuths count from north (common practice, no source)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.takeoff.turns import headings, turn_of, written


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("L", -90), ("R", 90), ("l", -90), ("left", -90), ("Right", 90), (" right  45 ", 45),
        ("left 22.5", Fraction(-45, 2)), ("R45", 45), ("left 45°", -45), ("right 30 degrees", 30),
        ("N", None), ("", None), ("leftish", None), ("left 0", None), ("right 180", None), ("270", None),
        ("left -45", None), ("L R", None),
    ],
)  # fmt: skip
def test_a_turn_is_read_with_its_degrees(typed: str, degrees: Fraction | None) -> None:
    assert turn_of(typed) == degrees


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        (["E", "left", "left", "left"], ["E", "N", "W", "S"]),
        (["E", "R", "R", "R"], ["E", "S", "W", "N"]),
        (["n", "right 45", "L"], ["n", "NE", "NW"]),
        (["350", "right 22.5", "left 90"], ["350", "12.5", "282.5"]),
        (["left", "E", "left"], ["left", "E", "N"]),
        (["E", "up", "left"], ["E", "up", "left"]),
        ([], []),
    ],
)
def test_a_turn_is_from_the_wall_before(typed: list[str], found: list[str]) -> None:
    assert headings(typed) == found


@given(st.integers(0, 35999), st.lists(st.sampled_from([-135, -90, -45, 45, 90, 135]), max_size=12))
def test_turns_add_up_whatever_is_turned(start: int, turns: list[int]) -> None:
    first = written(Fraction(start, 100))
    typed = [first, *(f"{'right' if turn > 0 else 'left'} {abs(turn)}" for turn in turns)]
    assert headings(typed)[-1] == written((Fraction(start, 100) + sum(turns)) % 360)
