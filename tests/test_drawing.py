"""The plan drawing: to scale, the same every time, each kind of wall told by line, nothing unescaped."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box, unary_union
from weasyprint import HTML

from portal.core.takeoff.lengths import read_length
from portal.core.takeoff.plan import Plan, plan
from portal.core.takeoff.reading import read_house
from portal.drawing import feet_inches, plan_svg

SVG = "{http://www.w3.org/2000/svg}"

# Parts as (west, south, width, depth) in feet.
PLAIN = [(0, 0, 57, 27)]
L_SHAPE = [(0, 0, 57, 27), (0, 27, 22, 14)]
U_SHAPE = [(0, 0, 64, 18), (0, 18, 20, 22), (44, 18, 20, 22)]
COURT = [(0, 0, 70, 15), (0, 35, 70, 15), (0, 15, 20, 20), (50, 15, 20, 20)]
MANY = [(0, 0, 62, 34), (40, -6, 22, 6), (18, -2, 8, 2), (12, 34, 18, 4), (38, 34, 24, 4), (-1.5, 14, 1.5, 6)]
SHAPES = {"plain": PLAIN, "l": L_SHAPE, "u": U_SHAPE, "court": COURT, "many": MANY}


def plan_of(parts: list[tuple[float, float, float, float]], siding: Any = "open") -> Plan:
    keys = ("west", "south", "width", "depth")
    outline = {"by": "rectangles", "rectangles": [dict(zip(keys, part, strict=True)) for part in parts]}
    return planned(outline, siding)


def walk_of(*walls: tuple[str, str], siding: str = "open") -> Plan:
    outline = {"by": "walk", "walls": [{"heading": heading, "length": length} for heading, length in walls]}
    return planned(outline, siding)


def planned(outline: dict[str, Any], siding: Any) -> Plan:
    level = {
        "name": "Ground",
        "outline": outline,
        "interior": {"by": "measured", "length": 0},
        "siding": siding,
    }
    drawn = plan(read_house({"name": "A house", "levels": [level]}).levels[0])
    assert drawn is not None
    return drawn


def draw(of: Plan, **options: Any) -> str:
    return plan_svg(of, **{"title": "Ground floor", "desc": "A plan.", **options})


def ends(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)]


def walls_of(svg: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    root = ElementTree.fromstring(svg)
    return [tuple(ends(p.attrib["d"])) for p in root.iter(f"{SVG}path") if p.attrib["class"] == "drawn--wall"]


def units_a_foot(svg: str) -> float:
    """The scale, as a reader would take it: from the scale bar and the feet written at its end."""
    root = ElementTree.fromstring(svg)
    bar = next(p for p in root.iter(f"{SVG}path") if p.attrib["class"] == "drawn--scale")
    feet = next(t.text for t in root.iter(f"{SVG}text") if (t.text or "").endswith(" ft"))
    (left, _), (right, _) = ends(bar.attrib["d"])[:2]
    return (right - left) / float(feet.removesuffix(" ft"))


@pytest.mark.parametrize("parts", SHAPES.values(), ids=SHAPES.keys())
def test_the_walls_drawn_are_as_long_as_the_outline_by_the_scale_bar(parts):
    # Outside check: the boundary length of the union by shapely (GEOS).
    feet = unary_union([box(w, s, w + a, s + b) for w, s, a, b in parts]).length

    svg = draw(plan_of(parts))

    units = sum(math.dist(*wall) for wall in walls_of(svg))
    assert units / units_a_foot(svg) == pytest.approx(feet, rel=0.002)


def test_north_is_up_and_east_is_right():
    faces = {"by": "face", "north": "sided", "east": "wrapped", "south": "open", "west": "open"}

    root = ElementTree.fromstring(draw(plan_of(PLAIN, faces)))

    outline = [point for wall in walls_of(ElementTree.tostring(root, "unicode")) for point in wall]
    cladding, wrap = (
        ends(next(p.attrib["d"] for p in root.iter(f"{SVG}path") if p.attrib["class"] == role))
        for role in ("drawn--cladding", "drawn--wrap")
    )
    assert min(y for _, y in cladding) < min(y for _, y in outline)
    assert all(x > max(x for x, _ in outline) for x, _ in wrap)


@pytest.mark.parametrize("parts", SHAPES.values(), ids=SHAPES.keys())
def test_the_same_plan_gives_the_same_bytes(parts):
    assert draw(plan_of(parts)) == draw(plan_of(parts))


def test_what_people_typed_is_escaped():
    svg = draw(plan_of(PLAIN), title="Lot <7> & 'co'", desc='"<script>alert(1)</script>', ident='a"b')

    root = ElementTree.fromstring(svg)
    assert "<script" not in svg
    assert root.find(f"{SVG}title").text == "Lot <7> & 'co'"
    assert root.attrib["aria-labelledby"] == 'a"b-title a"b-desc'


def test_nothing_in_a_drawing_needs_inline_style_or_script():
    svg = draw(plan_of(MANY, "sided"))

    assert not re.search(r"\sstyle=|<style|<script|\son\w+=|url\(", svg)


def test_every_kind_of_wall_is_drawn_by_other_lines():
    def lines(status: str) -> set[tuple[str, str, str]]:
        root = ElementTree.fromstring(draw(plan_of(PLAIN, status), dims=False))
        paths = root.findall(f"{SVG}g/{SVG}path")
        return {
            (p.attrib["class"], p.attrib["stroke-width"], p.attrib.get("stroke-dasharray", "")) for p in paths
        }

    kinds = [lines(status) for status in ("open", "wrapped", "sided")]

    assert len({frozenset(kind) for kind in kinds}) == 3
    # Taken away their color, they still differ: by a dashed line, by a hatch.
    assert not any(dashes for _, _, dashes in kinds[0])
    assert any(dashes for _, _, dashes in kinds[1])
    assert any(role == "drawn--hatch" for role, _, _ in kinds[2])


def test_siding_given_by_length_has_no_place_on_the_sheet():
    svg = draw(plan_of(PLAIN, {"by": "length", "sided": "40", "open": "rest"}))

    assert 'class="wall wall--unplaced"' in svg
    assert "drawn--hatch" not in svg


def test_a_hatch_stays_within_its_band():
    svg = draw(plan_of(PLAIN, "sided"), dims=False)

    root = ElementTree.fromstring(svg)
    for group in root.iter(f"{SVG}g"):
        wall, cladding, hatch = (ends(p.attrib["d"]) for p in group)
        west, east = min(x for x, _ in cladding), max(x for x, _ in cladding)
        top, bottom = min(y for _, y in cladding), max(y for _, y in cladding)
        assert len(hatch) > len(wall)
        assert all(west - 0.01 <= x <= east + 0.01 and top - 0.01 <= y <= bottom + 0.01 for x, y in hatch)


def test_dimension_strings_say_the_walls_as_measured():
    lettered = texts(draw(plan_of(L_SHAPE)))

    assert [t for t in lettered if "″" in t].count("57′-0″") == 2
    assert {"22′-0″", "35′-0″", "14′-0″", "27′-0″", "41′-0″"} <= set(lettered)


def test_the_walls_of_a_court_are_dimensioned_within_it():
    lettered = texts(draw(plan_of(COURT)))

    assert "30′-0″" in lettered
    assert "20′-0″" in lettered


def test_dimension_strings_can_be_left_out():
    assert not any("″" in text for text in texts(draw(plan_of(L_SHAPE), dims=False)))


def texts(svg: str) -> list[str]:
    return [t.text or "" for t in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def text_boxes(svg: str) -> list[tuple[str, Any]]:
    """The ground each text stands on; figures about two fifths as wide as high (a sans face; from memory)."""
    boxes = []
    for t in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        x, y, size = (float(t.attrib[key]) for key in ("x", "y", "font-size"))
        half, tall = len(t.text or "") * size * 0.42 / 2, size * 0.66
        turned = "rotate(-90" in t.attrib.get("transform", "")
        boxes.append(
            (t.text, box(x - tall, y - half, x, y + half) if turned else box(x - half, y - tall, x + half, y))
        )
    return boxes


@pytest.mark.parametrize("width", [720, 520, 340])
@pytest.mark.parametrize("parts", SHAPES.values(), ids=SHAPES.keys())
def test_no_lettering_stands_on_other_lettering_or_off_the_sheet(parts, width):
    svg = draw(plan_of(parts, "sided"), width=width)

    root, boxes = ElementTree.fromstring(svg), text_boxes(svg)
    sheet = box(0, 0, float(root.attrib["width"]), float(root.attrib["height"]))
    on_each_other = [
        (a, b) for i, (a, one) in enumerate(boxes) for b, other in boxes[:i] if one.intersects(other)
    ]
    assert on_each_other == []
    assert all(sheet.covers(ground) for _, ground in boxes)


def test_a_walk_that_does_not_close_shows_its_gap():
    svg = draw(walk_of(("E", "30"), ("N", "20"), ("W", "29' 8\""), ("S", "20")))

    assert "drawn--gap" in svg
    assert "gap 0′-4″" in texts(svg)


def test_a_walk_that_closes_shows_none():
    assert "drawn--gap" not in draw(walk_of(("E", "30"), ("N", "20"), ("W", "30"), ("S", "20")))


def test_a_walk_at_an_angle_is_lettered_along_its_walls():
    # 10, 10 and the diagonal of a square of 10: 14.142 ft, by Pythagoras; 14 ft 1 11/16 in on a tape.
    svg = draw(walk_of(("E", "10"), ("N", "10"), ("SW", "14.142")))

    assert "14′-1 11/16″" in texts(svg)


def test_a_plan_without_walls_is_refused():
    with pytest.raises(ValueError, match="without walls"):
        draw(Plan((), None, 0, 0, 0, 0))


def test_paper_is_black_on_white_and_the_screen_takes_the_color_of_the_page():
    paper, screen = draw(plan_of(PLAIN, "sided"), for_paper=True), draw(plan_of(PLAIN, "sided"))

    assert "currentColor" not in paper
    assert "#000000" in paper
    assert "#000000" not in screen


def test_a_pdf_of_a_drawing_has_its_hatches():
    def ink(status: str) -> int:
        svg = draw(plan_of(PLAIN, status), width=500, dims=False, for_paper=True)
        page = pypdfium2.PdfDocument(HTML(string=f"<body>{svg}").write_pdf())[0]
        return sum(1 for value in page.render(scale=2).to_numpy()[:, :, 0].flat if value < 128)

    assert ink("open") < ink("wrapped") < ink("sided")


@pytest.mark.parametrize(
    ("feet", "lettered"),
    [
        (Fraction(65, 2), "32′-6″"),
        (Fraction(32), "32′-0″"),
        (Fraction(1, 2), "0′-6″"),
        (Fraction(12, 1) - Fraction(1, 384), "12′-0″"),
        # 9.75 m: 1 ft is 0.3048 m exactly (international yard and pound agreement of 1959).
        (Fraction(975, 100) / Fraction(3048, 10000), "31′-11 7/8″"),
    ],
)
def test_feet_are_lettered_to_the_sixteenth_of_an_inch(feet, lettered):
    assert feet_inches(feet) == lettered


@given(st.integers(1, 4999), st.integers(0, 11), st.integers(0, 15))
def test_what_is_lettered_on_a_plan_reads_back_as_a_length(feet, inches, sixteenths):
    exact = feet + Fraction(inches * 16 + sixteenths, 192)

    assert read_length(feet_inches(exact)) == exact


corners = st.integers(-20, 20)
sides = st.integers(1, 40)
statuses = st.sampled_from(["open", "wrapped", "sided"])


@given(
    st.lists(st.tuples(corners, corners, sides, sides), min_size=1, max_size=6),
    statuses,
    st.sampled_from([720, 340]),
)
def test_any_outline_gives_a_well_formed_drawing_to_scale(parts, siding, width):
    feet = unary_union([box(w, s, w + a, s + b) for w, s, a, b in parts]).length

    svg = draw(plan_of(parts, siding), width=width)

    units = sum(math.dist(*wall) for wall in walls_of(svg))
    assert units / units_a_foot(svg) == pytest.approx(feet, rel=0.01)
    assert "nan" not in svg
