"""The line of days: a hairline with today, the last good day, and the days siding and insulation start.

What counts stands on flags above the line, what it costs on flags below it, each beginning at its day.
Every kind of day has a mark of its own form, and from the day siding starts the line is hatched as a sided
wall is on the plan: no color has to be told from another. Days stand to scale, and the same days give the
same bytes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from portal.core.pricing.waiting import Days
from portal.drawing.flags import GAP, ROOM, Flag, draw_flag, height_of, stacked
from portal.drawing.lengths import lettered_width
from portal.drawing.pen import PAPER, SCREEN, Pen, segments, track
from portal.drawing.whole import whole

EDGE = 8.0
BAND = 7.0


@dataclass(frozen=True, slots=True)
class Worded:
    """What the flags say, in the reader's language. A price, and a mark's words, may be missing: ''."""

    today: str
    last_good: str
    siding: str
    insulation: str = ""
    price_now: str = ""
    price_after: str = ""


@dataclass(frozen=True, slots=True)
class _Scale:
    first: date
    left: float
    a_day: float
    right: float

    def at(self, day: date) -> float:
        return self.left + (day - self.first).days * self.a_day


def days_svg(
    days: Days, worded: Worded, *, title: str, desc: str, width: int = 720, for_paper: bool = False,
    ident: str = "days",
) -> str:  # fmt: skip
    """Draw the line of days. width, for_paper, ident: as for a plan; 340 on a phone."""
    pen = PAPER if for_paper else SCREEN
    size = 13.0 if width >= 500 else 12.0
    scale = _scale(days, worded, float(width), size)
    above = stacked(_days(days, worded, scale), size)
    below = stacked(_prices(days, worded, scale), size)
    line = 4 + ROOM + height_of(above, size)
    foot = line + height_of(below, size) + ROOM
    drawn = [_line(days, scale, line, pen), *(draw_flag(f, line, -1, size, pen) for f in above),
             *(draw_flag(f, line, 1, size, pen) for f in below), _marks(days, scale, line, pen)]  # fmt: skip
    return whole((float(width), foot), title, desc, ident, "".join(drawn), for_paper, "days-drawing")


def _scale(days: Days, worded: Worded, width: float, size: float) -> _Scale:
    """The most units a day at which every flag that begins at its day still ends on the sheet."""
    first = min(_all(days))
    flags = [
        (days.today, worded.today), (days.today, worded.price_now), (days.last_good, worded.last_good),
        (days.siding_starts, worded.siding), (days.siding_starts, worded.price_after),
        (days.insulation_starts or first, worded.insulation),
    ]  # fmt: skip
    room = ((width - 2 * EDGE - GAP - lettered_width(text, size), (day - first).days) for day, text in flags)
    return _Scale(first, EDGE, max(min(units / n for units, n in room if n), 0.0), width - EDGE)


def _all(days: Days) -> list[date]:
    found = [days.today, days.last_good, days.siding_starts]
    return found if days.insulation_starts is None else [*found, days.insulation_starts]


def _days(days: Days, worded: Worded, scale: _Scale) -> list[Flag]:
    found = [Flag(scale.at(days.siding_starts), worded.siding)]
    if days.insulation_starts and worded.insulation:
        found.append(Flag(scale.at(days.insulation_starts), worded.insulation))
    found.append(Flag(scale.at(days.last_good), worded.last_good, red=True))
    return [*found, Flag(scale.at(days.today), worded.today)]


def _prices(days: Days, worded: Worded, scale: _Scale) -> list[Flag]:
    now = [] if days.past else [Flag(scale.at(days.today), worded.price_now)]
    found = [Flag(scale.at(days.siding_starts), worded.price_after), *now]
    return [flag for flag in found if flag.text]


def _line(days: Days, scale: _Scale, line: float, pen: Pen) -> str:
    """The hairline with its ticks, heavy as long as the days are good, hatched once siding is on."""
    drawn = [pen.line(track([(scale.left, line), (scale.right, line)]), 0.75, "days")]
    ticks = [((x, line), (x, line + 4)) for x in _ticks(scale)]
    if ticks:
        drawn.append(pen.line(segments(ticks), 0.75, "fine"))
    if not days.past:
        good = track([(scale.at(days.today), line), (scale.at(days.last_good), line)])
        drawn.append(pen.line(good, 2.5, "good-days"))
    start, x = scale.at(days.siding_starts), scale.at(days.siding_starts)
    hatch = []
    while x + BAND <= scale.right:
        hatch.append(((x, line), (x + BAND, line - BAND)))
        x += BAND
    edge = track([(start, line - BAND), (scale.right, line - BAND)])
    return "".join([*drawn, pen.line(edge, 1.0, "cladding"), pen.line(segments(hatch), 1.0, "hatch")])


def _ticks(scale: _Scale) -> list[float]:
    """Every day where there is room for it, else every Monday, else none."""
    for step, start in ((1, scale.first), (7, scale.first + timedelta(-scale.first.weekday() % 7))):
        if step * scale.a_day >= 5:
            count = int((scale.right - scale.at(start)) // (step * scale.a_day))
            return [scale.at(start) + n * step * scale.a_day for n in range(count + 1)]
    return []


def _marks(days: Days, scale: _Scale, line: float, pen: Pen) -> str:
    """Today a filled point, the last good day a heavy stroke across, siding an upright, insulation two."""
    x = scale.at(days.today)
    point = track([(x - 4, line), (x, line - 4), (x + 4, line), (x, line + 4)], closed=True)
    last, siding = scale.at(days.last_good), scale.at(days.siding_starts)
    drawn = [
        pen.line(track([(last, line - 8), (last, line + 8)]), 3.0, "last-good", red=True),
        pen.line(track([(siding, line - BAND - 3), (siding, line + 6)]), 1.5, "siding-day"),
    ]
    if days.insulation_starts:
        two = [scale.at(days.insulation_starts) + shift for shift in (0.0, 3.0)]
        uprights = [((one, line - BAND - 3), (one, line + 6)) for one in two]
        drawn.append(pen.line(segments(uprights), 1.5, "insulation-day"))
    return "".join([*drawn, pen.area(point, "today")])
