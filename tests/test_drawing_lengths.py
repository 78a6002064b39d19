"""The drawing measured with its own scale bar, as somebody would with a rule: as long as the engine says.

For rectangles shapely (GEOS, an independent geometry library) measures the same outline a third time; for
walks the tape's own lengths, added up, are the reference.
"""

from __future__ import annotations

import math
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import box, unary_union

from portal.core.errors import BadInput
from portal.core.takeoff.feet import feet_of
from portal.core.takeoff.plan import plan
from portal.core.takeoff.reading import read_house
from portal.drawing import places, plan_svg

pytestmark = pytest.mark.slow

SVG = "{http://www.w3.org/2000/svg}"
#: A coordinate is written to two decimals of a unit, so each end of a wall is off by half of that each way.
HALF = 0.005 * math.sqrt(2)


def house(outline: dict[str, Any]) -> Any:
    level = {"name": "-", "outline": outline, "interior": {"by": "measured", "length": 0}, "siding": "open"}
    return read_house({"name": "-", "levels": [level]})


def drawn(outline: dict[str, Any], width: int) -> tuple[float, float]:
    """Feet of boundary as measured on the drawing, and how far off its rounding may put them."""
    found = plan(house(outline).levels[0])
    assert found
    root = ElementTree.fromstring(plan_svg(found, title="-", desc="-", width=width))
    paths = {one: one.attrib["d"] for one in root.iter(f"{SVG}path")}
    walls = [ends(path) for one, path in paths.items() if one.attrib["class"] == "drawn--wall"]
    [bar] = [ends(path) for one, path in paths.items() if one.attrib["class"] == "drawn--scale"]
    [feet] = [float(one.text[:-3]) for one in root.iter(f"{SVG}text") if (one.text or "").endswith(" ft")]
    across = math.dist(bar[0], bar[1])
    units = sum(math.dist(*wall) for wall in walls)
    rounding = (2 * HALF * len(walls) + units * 2 * HALF / across) * feet / across
    return units * feet / across, rounding


def ends(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)]


def half_feet(least: int, most: int) -> st.SearchStrategy[float]:
    return st.integers(least, most).map(lambda count: count / 2)


RECTANGLE = st.tuples(half_feet(-80, 80), half_feet(-80, 80), half_feet(1, 120), half_feet(1, 120))
#: A ring around a court, and a part that stands alone: what chance alone seldom puts together.
COURT = [(0.0, 0.0, 70.0, 15.0), (0.0, 35.0, 70.0, 15.0), (0.0, 15.0, 20.0, 20.0), (50.0, 15.0, 20.0, 20.0)]
APART = [(100.0, 0.0, 20.0, 12.5)]
WIDTH = st.sampled_from([340, 720])


@given(st.lists(RECTANGLE, min_size=1, max_size=6), st.booleans(), st.booleans(), WIDTH)
def test_rectangles_are_drawn_as_long_as_the_engine_and_shapely_measure_them(
    some: list[tuple[float, float, float, float]], court: bool, apart: bool, width: int
) -> None:
    parts = [*some, *(COURT if court else []), *(APART if apart else [])]
    rows = [dict(zip(("west", "south", "width", "depth"), part, strict=True)) for part in parts]
    outline = {"by": "rectangles", "rectangles": rows}
    measured, rounding = drawn(outline, width)
    exterior = float(feet_of(house(outline)).exterior)
    assert measured == pytest.approx(exterior, abs=rounding)
    union = unary_union([box(w, s, w + wide, s + deep) for w, s, wide, deep in parts])
    assert exterior == pytest.approx(union.length, abs=1e-6)


@st.composite
def walks(draw: st.DrawFn) -> list[dict[str, str]]:
    """Stairs up to the northeast and straight back, turned any way, the last wall a little long or short."""
    steps = draw(st.lists(st.tuples(half_feet(4, 60), half_feet(4, 60)), min_size=1, max_size=8))
    turn = draw(st.integers(0, 359))
    off = draw(st.sampled_from([-0.25, 0.0, 0.25]))
    walls = [wall for east, north in steps for wall in ((90, east), (0, north))]
    walls += [(270, sum(east for east, _ in steps)), (180, sum(north for _, north in steps) + off)]
    return [{"heading": str((heading + turn) % 360), "length": str(feet)} for heading, feet in walls]


@given(walks(), WIDTH)
def test_a_walk_is_drawn_as_long_as_it_was_walked(walls: list[dict[str, str]], width: int) -> None:
    outline = {"by": "walk", "walls": walls}
    try:
        exterior = feet_of(house(outline)).exterior
    except BadInput:
        assume(False)
    assert float(exterior) == sum(float(wall["length"]) for wall in walls)
    measured, rounding = drawn(outline, width)
    assert measured == pytest.approx(float(exterior), abs=rounding)


@given(st.lists(RECTANGLE, min_size=1, max_size=6), WIDTH)
def test_what_is_laid_over_a_drawing_lies_on_its_walls(
    some: list[tuple[float, float, float, float]], width: int
) -> None:
    rows = [dict(zip(("west", "south", "width", "depth"), part, strict=True)) for part in some]
    found = plan(house({"by": "rectangles", "rectangles": rows}).levels[0])
    assert found
    root = ElementTree.fromstring(plan_svg(found, title="-", desc="-", width=width))
    walls = [ends(one.attrib["d"]) for one in root.iter(f"{SVG}path") if one.attrib["class"] == "drawn--wall"]
    held = places(found, width)
    assert (held.width, held.height) == (
        pytest.approx(float(root.attrib["width"])),
        pytest.approx(float(root.attrib["height"]), abs=0.01),
    )
    for (start, end), line in zip(walls, held.walls, strict=True):
        half, turn = line.long / 2, math.radians(line.turn)
        along = (half * math.cos(turn), half * math.sin(turn))
        assert math.dist(start, (line.middle[0] - along[0], line.middle[1] - along[1])) < 2 * HALF
        assert math.dist(end, (line.middle[0] + along[0], line.middle[1] + along[1])) < 2 * HALF
