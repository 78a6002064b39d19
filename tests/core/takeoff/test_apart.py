"""Rectangles that lie apart: counted by hand on squared paper, and by joining them two by two."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.takeoff.apart import apart, parts_of
from portal.core.takeoff.plan import Plan, plan
from portal.core.takeoff.reading import read_house

Box = tuple[int, int, int, int]


def planned(outline: dict[str, Any]) -> Plan:
    level = {"name": "-", "repeat": 1, "outline": outline, "siding": "open",
             "interior": {"by": "measured", "length": 0}}  # fmt: skip
    found = plan(read_house({"name": "-", "levels": [level]}).levels[0])
    assert found is not None
    return found


def boxes(*sides: Box) -> Plan:
    """Rectangles as (west, south, width, depth)."""
    keys = ("west", "south", "width", "depth")
    return planned({"by": "rectangles", "rectangles": [dict(zip(keys, one, strict=True)) for one in sides]})


@pytest.mark.parametrize(
    ("sides", "parts"),
    [
        ([(0, 0, 40, 30)], 1),
        ([(0, 0, 40, 30), (40, 0, 10, 10)], 1),  # side by side
        ([(0, 0, 40, 30), (20, 20, 40, 30)], 1),  # one over the other
        ([(0, 0, 40, 30), (41, 0, 10, 10)], 2),  # a foot between them
        ([(0, 0, 40, 30), (40, 30, 10, 10)], 2),  # they meet in a corner alone
        ([(0, 0, 40, 30), (60, 0, 10, 10), (0, 60, 5, 5)], 3),
        # A court in the middle is no part of its own; what stands free in the court is one.
        ([(0, 0, 30, 10), (0, 20, 30, 10), (0, 0, 10, 30), (20, 0, 10, 30)], 1),
        ([(0, 0, 30, 10), (0, 20, 30, 10), (0, 0, 10, 30), (20, 0, 10, 30), (14, 14, 2, 2)], 2),
    ],
)  # fmt: skip
def test_parts_are_counted(sides: list[Box], parts: int) -> None:
    found = boxes(*sides)
    assert parts_of(found) == parts
    assert (apart(found) is None) == (parts == 1)


def test_it_is_said_what_to_look_at() -> None:
    assert str(apart(boxes((0, 0, 40, 30), (60, 0, 10, 10)))) == (
        "The rectangles make 2 separate parts. If they are one house, check the West edge and the South edge "
        "of each."
    )


def test_a_walk_is_one_part_whichever_way_around() -> None:
    for headings in ("NESW", "NWSE"):
        walls = [{"heading": heading, "length": "20"} for heading in headings]
        assert apart(planned({"by": "walk", "walls": walls})) is None


side = st.integers(0, 12)


@given(st.lists(st.tuples(side, side, st.integers(1, 5), st.integers(1, 5)), min_size=1, max_size=7))
def test_as_many_parts_as_are_left_when_all_that_share_a_side_are_joined(sides: list[Box]) -> None:
    cells = {(x, y) for w, s, width, depth in sides for x in range(w, w + width) for y in range(s, s + depth)}
    parts = 0
    while cells:
        parts, at = parts + 1, [cells.pop()]
        while at:
            x, y = at.pop()
            near = {(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)} & cells
            cells -= near
            at += near
    assert parts_of(boxes(*sides)) == parts
