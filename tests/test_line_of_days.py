"""The line of days: to scale, nothing over anything else, told by form and words, the same every time."""

from __future__ import annotations

import re
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.pricing.waiting import Days
from portal.drawing import Worded, days_svg
from portal.drawing.lengths import lettered_width

SVG = "{http://www.w3.org/2000/svg}"
TODAY = date(2027, 5, 4)
WORDS = Worded("Today, Tue, May 4", "Last good day, Fri, May 14", "Siding starts, Mon, May 17",
               "Insulation, Wed, May 26", "$1,079.20", "$1,163.95")  # fmt: skip


def draw(siding: int = 13, insulation: int | None = 22, width: int = 720, worded: Worded = WORDS) -> str:
    """The line of days; when siding and insulation start, in days from today."""
    after = TODAY + timedelta(insulation) if insulation is not None else None
    days = Days(TODAY, TODAY + timedelta(siding), after)
    return days_svg(days, worded, title="Line of days", desc="Days.", width=width)


def mark(svg: str, role: str) -> float:
    """How far from the left a mark stands: the middle of a point, the first stroke of an upright."""
    path = next(
        p for p in ElementTree.fromstring(svg).iter(f"{SVG}path") if p.get("class") == f"drawn--{role}"
    )
    xs = [float(x) for x in re.findall(r"[ML](-?[\d.]+) ", path.get("d", ""))]
    return (min(xs) + max(xs)) / 2 if role == "today" else xs[0]


def lettering(svg: str) -> list[tuple[float, float, float, float]]:
    """The oblongs the words stand in: left, top, right, bottom."""
    found = []
    for text in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        x, y, size = (float(text.attrib[name]) for name in ("x", "y", "font-size"))
        found.append((x, y - size * 0.75, x + lettered_width(text.text or "", size), y + size * 0.2))
    return found


def staffs(svg: str) -> list[tuple[float, float, float]]:
    """The staffs of the flags: where they stand, from where, to where."""
    fine = [p.attrib["d"] for p in ElementTree.fromstring(svg).iter(f"{SVG}path")
            if p.get("class") == "drawn--fine" and p.attrib["d"].count("M") == 1]  # fmt: skip
    ends = [[float(n) for n in re.findall(r"-?[\d.]+", d)] for d in fine]
    return [(x, min(y, y2), max(y, y2)) for x, y, _x, y2 in ends]


def test_days_stand_to_scale() -> None:
    svg = draw()

    a_day = (mark(svg, "siding-day") - mark(svg, "today")) / 13
    assert mark(svg, "last-good") - mark(svg, "today") == pytest.approx(10 * a_day, abs=0.02)
    assert mark(svg, "insulation-day") - mark(svg, "today") == pytest.approx(22 * a_day, abs=0.02)


def test_the_hatch_begins_with_the_siding_and_runs_on() -> None:
    svg = draw()

    assert mark(svg, "hatch") == mark(svg, "cladding") == mark(svg, "siding-day")


def test_each_kind_of_day_is_told_by_its_form_and_its_words() -> None:
    svg = draw()

    paths = ElementTree.fromstring(svg).iter(f"{SVG}path")
    forms = {
        p.attrib["class"]: (p.get("fill"), p.get("stroke-width"), p.attrib["d"].count("M")) for p in paths
    }
    kinds = [forms[f"drawn--{kind}"] for kind in ("today", "last-good", "siding-day", "insulation-day")]
    assert len(set(kinds)) == 4
    assert [text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text")].count(WORDS.last_good) == 1


def test_where_the_last_good_day_is_past_no_days_are_drawn_as_good_and_no_price_as_of_today() -> None:
    svg = draw(siding=-3, insulation=None)

    assert "drawn--good-days" not in svg and "drawn--good-days" in draw()
    assert WORDS.price_now not in svg and WORDS.price_after in svg
    assert mark(svg, "last-good") < mark(svg, "siding-day") < mark(svg, "today")


def test_without_a_price_only_days_are_told() -> None:
    assert "$" not in draw(worded=Worded("Today", "Last good day", "Siding starts", "Insulation"))


def test_the_same_days_give_the_same_bytes() -> None:
    assert draw() == draw()


def test_what_is_told_is_escaped() -> None:
    svg = days_svg(Days(TODAY, TODAY), WORDS, title="<b>", desc="&", ident='a"b')

    assert ElementTree.fromstring(svg).find(f"{SVG}title").text == "<b>"  # type: ignore[union-attr]
    assert not re.search(r"\sstyle=|<style|<script|url\(", svg)


@given(st.integers(-900, 900), st.none() | st.integers(-900, 900), st.sampled_from((340, 660, 720)))
def test_no_words_touch_others_or_a_staff_or_leave_the_sheet(
    siding: int, insulation: int | None, width: int
) -> None:
    svg = draw(siding, insulation, width)

    height = float(ElementTree.fromstring(svg).attrib["height"])
    words = lettering(svg)
    for n, (left, top, right, bottom) in enumerate(words):
        assert left >= 0 and top >= 0 and right <= width and bottom <= height
        assert not any(a < right and left < c and b < bottom and top < d for a, b, c, d in words[n + 1 :])
        assert not any(left < x < right and high < bottom and top < low for x, high, low in staffs(svg))
