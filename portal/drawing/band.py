"""The band of an estimate: a line of feet from nothing to the most, to scale, with the band hatched on it.

The least, the middle and the most stand on flags above the line, what each would cost below. The middle,
which the price follows, is a filled point; the ends are upright strokes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from portal.drawing.flags import GAP, ROOM, Flag, draw_flag, height_of, stacked
from portal.drawing.lengths import lettered_width
from portal.drawing.pen import PAPER, SCREEN, Pen, segments, track
from portal.drawing.whole import whole

EDGE = 8.0
DEPTH = 8.0


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the band: its feet, what the flag above it says, and what the one below, if any."""

    feet: float
    says: str
    price: str = ""


def marks_of(
    answer: Mapping[str, Any], feet: Callable[[str], str], price: Callable[[str], str] | None = None
) -> tuple[Mark, Mark, Mark]:
    """The band of an estimated answer of the engine, in the reader's words; prices only where told."""
    costs = (answer["price_low"], answer["price"]["total"], answer["price_high"]) if price else ("", "", "")
    low, middle, high = (
        Mark(float(answer["feet"][at]), feet(answer["feet"][at]), price(cost) if price else "")
        for at, cost in zip(("low", "total", "high"), costs, strict=True)
    )
    return low, middle, high


def band_svg(
    low: Mark, middle: Mark, high: Mark, *, title: str, desc: str, nothing: str = "0", width: int = 720,
    for_paper: bool = False, ident: str = "band",
) -> str:  # fmt: skip
    """Draw the band. `nothing` is what stands at the foot of the line; the rest as for a plan."""
    pen = PAPER if for_paper else SCREEN
    size = 13.0 if width >= 500 else 12.0
    marks = (low, middle, high)
    words = [(mark.feet, text) for mark in marks for text in (mark.says, mark.price)]
    # As many units a foot as leave room for the words that begin at the far end.
    room = width - 2 * EDGE - GAP
    scale = min((room - lettered_width(text, size)) / feet for feet, text in words if feet)
    above = stacked([Flag(EDGE, nothing), *(Flag(EDGE + m.feet * scale, m.says) for m in marks)], size)
    below = stacked([Flag(EDGE + m.feet * scale, m.price) for m in marks if m.price], size)
    line = 4 + ROOM + height_of(above, size)
    foot = line + DEPTH + height_of(below, size) + ROOM
    places = [EDGE + mark.feet * scale for mark in marks]
    drawn = [draw_flag(flag, line, -1, size, pen) for flag in above]
    drawn += [draw_flag(flag, line, 1, size, pen) for flag in below]
    drawn.append(_drawn(places, line, pen))
    return whole((float(width), foot), title, desc, ident, "".join(drawn), for_paper, "band-drawing")


def _drawn(places: list[float], line: float, pen: Pen) -> str:
    low, middle, high = places
    top, hatch, x = line - DEPTH / 2, [], low
    while x + DEPTH <= high:
        hatch.append(((x, top + DEPTH), (x + DEPTH, top)))
        x += DEPTH
    frame = track([(low, top), (high, top), (high, top + DEPTH), (low, top + DEPTH)], closed=True)
    point = track(
        [(middle - 5, line), (middle, line - 5), (middle + 5, line), (middle, line + 5)], closed=True
    )
    ends = [((x, line - DEPTH), (x, line + DEPTH)) for x in (low, high)]
    return "".join([
        pen.line(track([(EDGE, line), (low, line)]), 0.75, "axis"),
        pen.line(track([(EDGE, line - 4), (EDGE, line + 4)]), 1.0, "nothing"),
        pen.line(frame, 1.0, "band"), pen.line(segments(hatch), 0.75, "hatch") if hatch else "",
        pen.line(segments(ends), 2.0, "band-ends"), pen.area(point, "band-middle"),
    ])  # fmt: skip
