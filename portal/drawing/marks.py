"""What stands under every plan: the scale bar and the north arrow; and the red line of a walk's gap."""

from __future__ import annotations

import math

from portal.drawing.frame import STRIP, Frame
from portal.drawing.lengths import feet_inches, lettered_width
from portal.drawing.pen import Pen, Point, track

BARS = (1, 2, 4, 10, 20, 40, 100, 200, 400, 1000, 2000, 4000)


def scale_bar(frame: Frame, pen: Pen, size: float) -> str:
    """A bar of two halves with round feet, no longer than a third of the sheet."""
    fitting = [feet for feet in BARS if feet * frame.scale <= frame.width / 3]
    feet = fitting[-1] if fitting else BARS[0]
    left, top, long = 10.0, frame.height - STRIP + 24, feet * frame.scale
    bar = track([(left, top), (left + long, top), (left + long, top + 5), (left, top + 5)], closed=True)
    half = track(
        [(left, top), (left + long / 2, top), (left + long / 2, top + 5), (left, top + 5)], closed=True
    )
    drawn = [pen.line(bar, 1.0, "scale"), pen.area(half, "scale-half")]
    for share, word in ((0.0, "0"), (0.5, f"{feet // 2}" if feet > 1 else ""), (1.0, f"{feet} ft")):
        if word:
            drawn.append(pen.text((left + long * share, top - 5), word, size))
    return "".join(drawn)


def north_arrow(frame: Frame, pen: Pen, size: float) -> str:
    """A plain arrow, half of its head inked, with its letter beside it."""
    x, top = frame.width - 14, frame.height - STRIP + 4
    foot = top + 34
    head = track([(x, top), (x - 5, top + 13), (x, top + 10)], closed=True)
    outline = track([(x, foot), (x, top), (x + 5, top + 13), (x, top + 10)])
    letter = pen.text((x - 14, top + 14), "N", size)
    return pen.line(outline, 1.0, "north") + pen.area(head, "north-head") + letter


def gap_mark(
    gap: tuple[Point, Point], heart: Point, frame: Frame, pen: Pen, size: float, word: str = "gap"
) -> str:
    """Where a walk does not close: a dotted red line between crossed ends, and how far it is.

    The words stand toward the heart of the plan (a point of the drawing), where nothing else is drawn.
    """
    start, end = frame.at(gap[0]), frame.at(gap[1])
    feet = math.sqrt((gap[1][0] - gap[0][0]) ** 2 + (gap[1][1] - gap[0][1]) ** 2)
    drawn = [pen.line(track([start, end]), 2.5, "gap", red=True, dashes="3 3")]
    for x, y in (start, end):
        cross = track([(x - 4, y - 4), (x + 4, y + 4)]) + track([(x - 4, y + 4), (x + 4, y - 4)])
        drawn.append(pen.line(cross, 1.5, "gap", red=True))
    text = f"{word} {feet_inches(feet)}"
    half = lettered_width(text, size) / 2 + 4
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    x += math.copysign(half + 10 + abs(end[0] - start[0]) / 2, heart[0] - x)
    y += math.copysign(12 + abs(end[1] - start[1]) / 2, heart[1] - y) + size / 3
    drawn.append(pen.text((min(max(x, half), frame.width - half), y), text, size, red=True))
    return "".join(drawn)
