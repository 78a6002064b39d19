"""Money by the week, drawn to one scale: a ground line, and what stands on it and hangs under it.

On the line: what came, filled; what falls due, in outline; what is about to be billed upon it, in a dashed
outline. Under it: what was due and is still open, hatched as a sided wall is. Nothing is told by color alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from portal.drawing.lengths import lettered_width
from portal.drawing.pen import PAPER, SCREEN, Pen, Point, element, number, segments, track
from portal.drawing.whole import whole

DEEP, HATCH, EDGE = 190.0, 6.0, 4.0
#: What little there is can still be seen.
LEAST = 2.5


@dataclass(frozen=True, slots=True)
class Bars:
    """A week as drawn. `letters` say which, the others what an amount comes to, in words to stand by it."""

    letters: str
    came: float
    late: float
    due: float
    to_bill: float
    said_came: str = ""
    said_ahead: str = ""
    said_late: str = ""


def weeks_svg(
    weeks: Sequence[Bars], now: int, *, title: str, desc: str, today: str, width: int = 720,
    for_paper: bool = False, ident: str = "weeks",
) -> str:  # fmt: skip
    """Draw the weeks; `now` is the place of this one, and `today` the word over it."""
    pen = PAPER if for_paper else SCREEN
    size = 12.0 if width >= 500 else 11.0
    above = max((max(week.came, week.due + week.to_bill) for week in weeks), default=0.0)
    below = max((week.late for week in weeks), default=0.0)
    scale = DEEP / (above + below) if above + below else 0.0
    column = (width - 2 * EDGE) / len(weeks)
    line = 2.4 * size + above * scale + size * 1.5
    drawn = [pen.line(track([(EDGE, line), (width - EDGE, line)]), 1.5, "ground-line")]
    for n, week in enumerate(weeks):
        left = EDGE + n * column
        drawn.append(_column(week, (left, line), column, scale, size, pen))
    told = line + size * 1.5
    drawn += _letters([week.letters for week in weeks], told, column, size, pen)
    middle = EDGE + (now + 0.5) * column
    drawn.append(pen.text((middle, size), today, size))
    top = line - max(weeks[now].came, weeks[now].due + weeks[now].to_bill) * scale - size * 1.5
    if top > size * 2:
        # It ends over what stands in the week: through it, it would strike its words out.
        drawn.append(pen.line(track([(middle, size * 1.5), (middle, top)]), 0.75, "fine", dashes="2 3"))
    height = told + size * 0.8 + below * scale + size * 1.6
    return whole((float(width), height), title, desc, ident, "".join(drawn), for_paper, "weeks-drawing")


def _column(week: Bars, at: Point, column: float, scale: float, size: float, pen: Pen) -> str:
    """What stands in a week; what came and what is to come stand side by side where there is both."""
    left, line = at
    inset, drawn = column * 0.14, []
    wide = column - 2 * inset
    both = week.came > 0 and week.due + week.to_bill > 0
    half = wide / 2 if both else wide
    ahead = left + inset + (half if both else 0)
    if week.came > 0:
        drawn.append(pen.area(_box(left + inset, line, half, -_tall(week.came, scale)), "came"))
    foot = line
    if week.due > 0:
        tall = _tall(week.due, scale)
        drawn.append(pen.line(_box(ahead, foot, half, -tall), 1.25, "due"))
        foot -= tall
    if week.to_bill > 0:
        tall = _tall(week.to_bill, scale)
        drawn.append(pen.line(_box(ahead, foot, half, -tall), 1.0, "to-bill", dashes="4 3"))
        foot -= tall
    over = min(foot, line - (_tall(week.came, scale) if week.came > 0 else 0)) - 4
    told = week.said_ahead if foot < line else week.said_came
    if told and lettered_width(told, size - 1.5) <= column:
        drawn.append(pen.text((left + column / 2, over), told, size - 1.5))
    if week.late > 0:
        drawn.append(_late(week, (left + inset, line + size * 2.3), wide, scale, size, column, pen))
    return "".join(drawn)


def _late(week: Bars, at: Point, wide: float, scale: float, size: float, column: float, pen: Pen) -> str:
    left, top = at
    tall = _tall(week.late, scale)
    box = _box(left, top, wide, tall)
    drawn = [pen.line(box, 1.25, "gap", red=True), hatched(left, top, wide, tall, pen)]
    if week.said_late and lettered_width(week.said_late, size - 1.5) <= column:
        place = (left + wide / 2, top + tall + size)
        drawn.append(pen.text(place, week.said_late, size - 1.5, red=True))
    return "".join(drawn)


def _letters(names: Sequence[str], foot: float, column: float, size: float, pen: Pen) -> list[str]:
    """The names of the weeks, as many as have room: the first and the last, and every so many between."""
    widest = max((lettered_width(name, size - 1) for name in names), default=0.0) + 6
    step = max(1, -(-int(widest) // max(int(column), 1)))
    shown = [n for n in range(len(names)) if n % step == 0]
    return [pen.text((EDGE + (n + 0.5) * column, foot), names[n], size - 1) for n in shown]


def _tall(amount: float, scale: float) -> float:
    return max(amount * scale, LEAST)


def _box(left: float, foot: float, wide: float, tall: float) -> str:
    corners = [(left, foot), (left, foot + tall), (left + wide, foot + tall), (left + wide, foot)]
    return track(corners, closed=True)


def hatched(left: float, top: float, wide: float, tall: float, pen: Pen) -> str:
    """Slanted lines in a box, cut off at its edges."""
    lines: list[tuple[Point, Point]] = []
    along = HATCH
    while along < wide + tall:
        start = (left + min(along, wide), top + max(along - wide, 0.0))
        end = (left + max(along - tall, 0.0), top + min(along, tall))
        lines.append((start, end))
        along += HATCH
    return pen.line(segments(lines), 0.75, "gap", red=True) if lines else ""


def swatch(kind: str) -> str:
    """A small box drawn as `came`, `due`, `to-bill` or `late` is, for the key."""
    pen, box = SCREEN, _box(1.0, 15.0, 22.0, -14.0)
    drawn = {
        "came": lambda: pen.area(box, "came"),
        "due": lambda: pen.line(box, 1.25, "due"),
        "to-bill": lambda: pen.line(box, 1.0, "to-bill", dashes="4 3"),
        "late": lambda: pen.line(box, 1.25, "gap", red=True) + hatched(1.0, 1.0, 22.0, 14.0, pen),
    }[kind]()
    return element("svg", {
        "xmlns": "http://www.w3.org/2000/svg", "width": number(24), "height": number(16),
        "viewBox": "0 0 24 16", "fill": "none", "aria-hidden": "true",
    }, drawn)  # fmt: skip
