"""The schedule of crew days: bars and stops to scale, told by form, links for whoever cannot drag."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.drawing.chart import Bar, Cell, Chart, HoursLine, chart_svg

SVG = "{http://www.w3.org/2000/svg}"
FIRST = date(2027, 5, 3)


def on(n: int) -> date:
    return FIRST + timedelta(days=n)


PLAIN = Bar("Lot 7", "107 Lime Kiln Lane", on(2), on(6), on(12), on(4), "WP", "Lot 7: booked", "/x?a=1&b=2")


def chart(*bars: Bar, **changes: Any) -> Chart:
    known: dict[str, Any] = {
        "first": FIRST, "today": on(1), "heads": tuple(("", str(n)) for n in range(21)),
        "rest": frozenset({on(5), on(6)}), "bars": bars, "lines": (),
    }  # fmt: skip
    return Chart(**known | changes)


def drawn(made: Chart, width: int = 1120) -> ElementTree.Element:
    return ElementTree.fromstring(chart_svg(made, title="Days", desc="Lots & days", width=width))


def paths(svg: ElementTree.Element, role: str) -> list[list[float]]:
    """How far from the left each path of a role reaches: its x coordinates."""
    found = [p.attrib["d"] for p in svg.iter(f"{SVG}path") if p.get("class") == f"drawn--{role}"]
    return [[float(x) for x in re.findall(r"[ML](-?[\d.]+) ", d)] for d in found]


def stops(svg: ElementTree.Element) -> list[ElementTree.Element]:
    return list(svg.iter(f"{SVG}a"))


def box(stop: ElementTree.Element) -> tuple[float, float]:
    rect = next(stop.iter(f"{SVG}rect"))
    return float(rect.attrib["x"]), float(rect.attrib["x"]) + float(rect.attrib["width"])


@pytest.mark.parametrize("width", [1120, 340])
def test_a_bar_its_siding_and_its_stop_stand_on_their_days(width: int) -> None:
    svg = drawn(chart(PLAIN), width)
    left, a_day = float(svg.attrib["data-left"]), float(svg.attrib["data-a-day"])

    def days(x: float) -> float:
        return (x - left) / a_day

    (stop,) = stops(svg)
    begins, ends = box(stop)
    assert days(begins) > 4 and days(begins) < days(ends) < 5
    assert [days(xs[0]) for xs in paths(svg, "siding-day")] == [pytest.approx(6, abs=0.01)]
    assert max(days(x) for x in paths(svg, "window-end")[0]) == pytest.approx(12, abs=0.01)
    hatch = [days(x) for xs in paths(svg, "hatch") for x in xs]
    assert min(hatch) == pytest.approx(6, abs=0.01) and max(hatch) <= 12.01
    assert left > 0 and left + 21 * a_day <= width


def test_a_stop_is_a_link_with_words_and_what_its_script_needs() -> None:
    (stop,) = stops(drawn(chart(replace(PLAIN, data=(("data-lot", "abc.3"),)))))

    assert stop.attrib["href"] == "/x?a=1&b=2" and stop.attrib["aria-label"] == "Lot 7: booked"
    assert stop.attrib["data-lot"] == "abc.3"


def test_what_is_to_be_booked_waits_in_pencil_before_the_first_day() -> None:
    svg = drawn(chart(replace(PLAIN, stop=None)))
    (stop,) = stops(svg)

    assert "chart__stop--waits" in stop.attrib["class"]
    assert next(stop.iter(f"{SVG}rect")).get("stroke-dasharray")
    assert box(stop)[1] < float(svg.attrib["data-left"])


def test_a_treated_stop_is_in_outline_and_one_that_does_not_fit_in_a_heavier_red() -> None:
    done, wrong = stops(drawn(chart(replace(PLAIN, done=True), replace(PLAIN, wrong=True))))

    assert next(done.iter(f"{SVG}rect")).attrib["fill"] == "none"
    assert "chart__stop--wrong" in wrong.attrib["class"]
    assert float(next(wrong.iter(f"{SVG}rect")).attrib["stroke-width"]) > 2


@pytest.mark.parametrize(
    ("changes", "ends", "siding"),
    [
        ({"ends": None}, 0, 1),  # nobody said when: the bar is left open
        ({"ends": on(40)}, 0, 1),  # it shuts after these weeks
        ({"siding": None}, 1, 0),
        ({"siding": on(-3)}, 1, 0),  # siding is on already: hatched from the edge
        ({"begins": None}, 1, 1),
        ({"begins": on(30)}, 0, 0),  # nothing of the window in these weeks
        ({"ends": on(-1)}, 0, 0),
    ],
)
def test_what_was_not_said_or_lies_elsewhere_is_left_open(changes: Any, ends: int, siding: int) -> None:
    svg = drawn(chart(replace(PLAIN, **changes)))

    assert len(paths(svg, "window-end")) == ends and len(paths(svg, "siding-day")) == siding


def test_hours_over_those_at_work_are_drawn_in_a_form_of_their_own() -> None:
    cells = (Cell(0.5, "4:00", False, False), Cell(1.2, "9:36", False, True), Cell(0, "", True, False))
    svg = drawn(chart(PLAIN, lines=(HoursLine("Wendell", cells),)))

    heavy = [p for p in svg.iter(f"{SVG}path") if p.get("class") == "drawn--gap"]
    assert [p.attrib["stroke-width"] for p in heavy] == ["2.50"]
    said = [text.text for text in svg.iter(f"{SVG}text")]
    assert {"4:00", "9:36", "Wendell"} <= set(said)


def test_words_are_escaped_and_the_same_chart_gives_the_same_bytes() -> None:
    made = chart(replace(PLAIN, name="<b>&", says='"quoted"'))

    assert "<b>" not in chart_svg(made, title="x", desc="y")
    assert chart_svg(made, title="x", desc="y") == chart_svg(made, title="x", desc="y")
    assert stops(drawn(made))[0].attrib["aria-label"] == '"quoted"'


DAYS = st.none() | st.integers(-60, 60).map(on)


@given(DAYS, DAYS, DAYS, DAYS, st.sampled_from([1120, 340]))
def test_nothing_leaves_the_drawing_whatever_the_days(
    begins: date | None, siding: date | None, ends: date | None, stop: date | None, width: int
) -> None:
    svg = drawn(chart(replace(PLAIN, begins=begins, siding=siding, ends=ends, stop=stop)), width)

    across = [
        x for p in svg.iter(f"{SVG}path") for x in map(float, re.findall(r"[ML](-?[\d.]+) ", p.get("d", "")))
    ]
    boxes = [x for rect in svg.iter(f"{SVG}rect") for x in (
        float(rect.attrib["x"]), float(rect.attrib["x"]) + float(rect.attrib["width"]))]  # fmt: skip
    assert min(across + boxes) >= 0 and max(across + boxes) <= width + 0.01
