"""The band of an estimate, read back from the drawing: to scale from nothing, every word on the sheet."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drawing import Mark, band_svg
from portal.drawing.lengths import lettered_width

pytestmark = pytest.mark.slow

SVG = "{http://www.w3.org/2000/svg}"


def draw(low: float, middle: float, high: float, price: str = "$1,000.00", width: int = 720) -> str:
    marks = [Mark(feet, f"{feet:.2f} ft", price) for feet in (low, middle, high)]
    return band_svg(*marks, title="Band", desc="A band.", width=width)


def across(svg: str, role: str) -> list[float]:
    """The places along the line of what is drawn in a role, from the left."""
    root = ElementTree.fromstring(svg)
    paths = [one.attrib["d"] for one in root.iter(f"{SVG}path") if one.attrib["class"] == f"drawn--{role}"]
    return sorted({float(x) for path in paths for x in re.findall(r"[ML](-?[\d.]+) ", path)})


FEET = st.floats(1, 50_000)


@given(FEET, st.floats(0, 1), st.floats(1, 4), st.sampled_from([340, 720]))
def test_low_middle_and_high_stand_to_scale_from_nothing(
    low: float, share: float, times: float, width: int
) -> None:
    high = low * times
    middle = low + share * (high - low)
    svg = draw(low, middle, high, width=width)
    [nothing] = across(svg, "nothing")
    [first, *_] = across(svg, "band-ends")
    last, point = across(svg, "band-ends")[-1], across(svg, "band-middle")[1]
    units_a_foot = (last - nothing) / high
    assert first - nothing == pytest.approx(low * units_a_foot, abs=0.03)
    assert point - nothing == pytest.approx(middle * units_a_foot, abs=0.03)


@given(FEET, st.floats(1, 4), st.sampled_from([340, 720]))
def test_every_word_ends_on_the_sheet_and_none_stands_on_another(
    low: float, times: float, width: int
) -> None:
    root = ElementTree.fromstring(draw(low, low * (1 + times) / 2, low * times, width=width))
    places = []
    for text in root.iter(f"{SVG}text"):
        x, y, size = (float(text.attrib[key]) for key in ("x", "y", "font-size"))
        end = x + lettered_width(text.text or "", size)
        assert x >= 0 and end <= width and 0 < y < float(root.attrib["height"])
        places.append((x, end, y))
    for number, (start, end, y) in enumerate(places):
        for other_start, other_end, other_y in places[number + 1 :]:
            assert y != other_y or end <= other_start or other_end <= start


def test_the_same_band_is_the_same_bytes_and_may_go_without_prices() -> None:
    assert draw(264, 295.74, 358.8) == draw(264, 295.74, 358.8)
    assert "$" not in draw(264, 295.74, 358.8, price="")


def test_what_stands_on_it_is_escaped() -> None:
    assert "<b>" not in draw(1, 2, 3, price="<b>")
