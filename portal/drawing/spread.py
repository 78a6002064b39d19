"""A spread of figures on a line, to scale: least to most, the middle half as a box, the median across it."""

from __future__ import annotations

from dataclasses import dataclass

from portal.drawing.pen import SCREEN, segments, track
from portal.drawing.whole import whole

EDGE, MIDDLE, HALF, END = 6.0, 12.0, 6.0, 4.0


@dataclass(frozen=True, slots=True)
class Places:
    """Where a spread lies: five places from least to most, and a mark to compare with, or none."""

    least: float
    lower: float
    median: float
    upper: float
    most: float
    expected: float | None = None


def spread_svg(
    places: Places, low: float, high: float, *, title: str, desc: str, ident: str,
    width: int = 240,
) -> str:  # fmt: skip
    """Draw it on a scale from `low` to `high`. `expected` is a dashed line from edge to edge."""

    def x(value: float) -> float:
        return EDGE + (value - low) / ((high - low) or 1) * (width - 2 * EDGE)

    a, b, c, d, e = map(x, (places.least, places.lower, places.median, places.upper, places.most))
    top, foot = MIDDLE - HALF, MIDDLE + HALF
    lines = segments([
        ((a, MIDDLE), (b, MIDDLE)), ((d, MIDDLE), (e, MIDDLE)),
        ((a, MIDDLE - END), (a, MIDDLE + END)), ((e, MIDDLE - END), (e, MIDDLE + END)),
    ])  # fmt: skip
    drawn = [
        SCREEN.line(lines, 1, "fine"),
        SCREEN.line(track([(b, top), (d, top), (d, foot), (b, foot)], closed=True), 1, "wall"),
        SCREEN.line(track([(c, top), (c, foot)]), 2.5, "wall"),
    ]
    if places.expected is not None:
        at = x(places.expected)
        drawn.append(SCREEN.line(track([(at, 0), (at, 2 * MIDDLE)]), 1, "fine", dashes="3 3"))
    return whole((width, 2 * MIDDLE), title, desc, ident, "".join(drawn), False, "spread-drawing")
