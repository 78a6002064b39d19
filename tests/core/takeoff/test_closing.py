"""What closes a walk: every offer is tried by the engine, and a wall taken out of a house is found again."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.takeoff import walk
from portal.core.takeoff.bearings import NAMED
from portal.core.takeoff.closing import Closing, closings
from portal.core.takeoff.house import Survey, WalkedWall

F = Fraction


def walked(text: str) -> tuple[WalkedWall, ...]:
    """E 40, N 30: headings by name or degrees, lengths in feet."""
    rows = [row.split() for row in text.split(",")]
    return tuple(WalkedWall(NAMED.get(heading, F(0)) if heading.isalpha() else F(heading), F(length))
                 for heading, length in rows)  # fmt: skip


def added(at: int, heading: str, length: str) -> Closing:
    return Closing(at, F(length), NAMED[heading] if heading in NAMED else F(heading))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("E 40, N 30, W 40", [added(3, "S", "30")]),
        ("E 40, W 40, S 30", [added(1, "N", "30")]),
        # A square on its point: the heading is square to the walls that are there.
        ("45 20, 135 20, 225 20", [added(3, "NW", "20")]),
        ("30 20, 120 20, 210 20", [added(3, "300", "20")]),
        # The last wall two inches short of square: what is left passes.
        ("E 40, N 30, W 239/6", [added(3, "S", "30")]),
        # One of two lengths is wrong, and nobody can tell which: both are offered.
        ("E 40, N 30, W 40, S 20", [Closing(3, F(30)), Closing(1, F(20))]),
        # A notch was left out on the way: between the third and the fourth wall, or wall 5 or 2 is wrong.
        ("E 40, N 20, W 20, W 20, S 30", [added(3, "N", "10"), Closing(4, F(20)), Closing(1, F(30))]),
        ("E 40, N 30, W 40, S 30", []),
        ("E 40, N 30, W 40, S 29.5", []),
        # It takes two walls.
        ("E 40, N 30, W 25", []),
        ("E 40, N 30", []),
        # Nothing that is put in keeps from crossing.
        ("E 40, W 40, E 40", []),
    ],
)
def test_one_change_that_closes_a_walk(text: str, found: list[Closing]) -> None:
    assert list(closings(walked(text))) == found


def test_a_walk_of_very_many_walls_is_left_to_its_walker() -> None:
    assert closings(walked(", ".join(["E 1", "N 1"] * 31))) == ()


@st.composite
def houses(draw: st.DrawFn) -> tuple[WalkedWall, ...]:
    """Staircase houses: up to the right in steps, back along the top and down the west side."""
    steps = draw(st.lists(st.tuples(st.integers(2, 40), st.integers(2, 40)), min_size=1, max_size=5))
    feet = [(F(e, 2) + 1, F(n, 2) + 1) for e, n in steps]
    walls = [wall for e, n in feet for wall in (WalkedWall(F(90), e), WalkedWall(F(0), n))]
    across, deep = sum((e for e, _ in feet), F(0)), sum((n for _, n in feet), F(0))
    walls += [WalkedWall(F(270), across), WalkedWall(F(180), deep)]
    turn = F(draw(st.sampled_from([0, 45, 90, 17])))
    return tuple(WalkedWall((wall.heading + turn) % 360, wall.length) for wall in walls)


@given(houses(), st.data())
def test_a_wall_that_was_left_out_is_found_again_and_every_offer_closes(
    house: tuple[WalkedWall, ...], data: st.DataObject
) -> None:
    left_out = data.draw(st.integers(1, len(house) - 1))
    walls = (*house[:left_out], *house[left_out + 1 :])
    offers = closings(walls)
    for offer in offers:
        assert isinstance(walk.survey(offer.applied(walls)), Survey)
    # A step along the stairs has other places where it closes as well; the offers go no further than three.
    if left_out >= len(house) - 2:
        assert Closing(left_out, house[left_out].length, house[left_out].heading) in offers


@given(houses(), st.data())
def test_a_wrong_length_can_be_put_right(house: tuple[WalkedWall, ...], data: st.DataObject) -> None:
    wrong = data.draw(st.integers(len(house) - 2, len(house) - 1))
    longer = house[wrong].length + 7
    walls = (*house[:wrong], WalkedWall(house[wrong].heading, longer), *house[wrong + 1 :])
    assert not isinstance(walk.survey(walls), Survey)
    offers = closings(walls)
    assert Closing(wrong, house[wrong].length) in offers
    assert all(isinstance(walk.survey(offer.applied(walls)), Survey) for offer in offers)
