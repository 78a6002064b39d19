"""What a bar-chart schedule is drawn from: where its days stand, its bars and stops, its lines of hours."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from portal.drawing.pen import Pen, element, number, segments, track, words

HATCH = 7.0
#: What is pressed is at least so wide (WCAG 2.2, 2.5.8: 24 CSS pixels), also a little scaled down.
THUMB = 26.0
#: A stop's box keeps so far from the edges of its day.
INSET = 2.5


@dataclass(frozen=True, slots=True)
class Bar:
    """A lot's row: its window from `begins` up to, and without, `ends`; its stop where one is booked.

    `letters` stand in the stop's box; `says` is what the stop is called for whoever does not see it. `data`
    are attributes for the page's script. `wrong` is a stop that its window or its day does not hold.
    """

    name: str
    about: str
    begins: date | None
    siding: date | None
    ends: date | None
    stop: date | None
    letters: str
    says: str
    url: str
    data: tuple[tuple[str, str], ...] = ()
    done: bool = False
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """A technician's day: which part of the hours at work is filled, and the hours in words."""

    share: float
    letters: str
    off: bool
    over: bool


@dataclass(frozen=True, slots=True)
class HoursLine:
    """A technician's line at the foot."""

    name: str
    cells: tuple[Cell, ...]
    data: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Chart:
    """A schedule of so many days from `first` on; `heads` are the words over each day, two lines."""

    first: date
    today: date
    heads: tuple[tuple[str, str], ...]
    rest: frozenset[date]
    bars: tuple[Bar, ...]
    lines: tuple[HoursLine, ...]
    to_book: str = ""
    hours: str = ""

    @property
    def days(self) -> list[date]:
        """The days of the chart."""
        return [self.first + timedelta(days=n) for n in range(len(self.heads))]


@dataclass(frozen=True, slots=True)
class Grid:
    """Where days stand: `left` of the first, units `a_day`, how many; `waiting`: where unbooked stops are."""

    first: date
    left: float
    a_day: float
    count: int
    waiting: float
    narrow: bool = field(default=False)

    @property
    def right(self) -> float:
        """Where the last day ends."""
        return self.left + self.count * self.a_day

    def at(self, day: date) -> float:
        """Where a day begins, kept on the chart."""
        n = (day - self.first).days
        return self.left + min(max(n, 0), self.count) * self.a_day

    def shows(self, day: date) -> bool:
        """Whether a day is on the chart."""
        return 0 <= (day - self.first).days < self.count


def draw_window(bar: Bar, grid: Grid, top: float, height: float, pen: Pen) -> str:
    """The open frame as a drawn bar, hatched from the day siding starts. An end nobody gave is left open."""
    left, right = (grid.at(bar.begins) if bar.begins else grid.left), grid.at(bar.ends or date.max)
    if right <= left:
        return ""
    foot, drawn = top + height, []
    for y in (top, foot):
        drawn.append(pen.line(track([(left, y), (right, y)]), 1.0, "window"))
    if bar.begins and grid.shows(bar.begins):
        drawn.append(pen.line(track([(left, top), (left, foot)]), 1.5, "window"))
    if (
        bar.ends
        and bar.ends > grid.first
        and right < grid.right + 0.01
        and grid.shows(bar.ends - timedelta(1))
    ):
        two = [((right - shift, top - 3), (right - shift, foot + 3)) for shift in (0.0, 3.0)]
        drawn.append(pen.line(segments(two), 1.5, "window-end"))
    return "".join([*drawn, _siding(bar, grid, left, right, top, foot, pen)])


def _siding(bar: Bar, grid: Grid, left: float, right: float, top: float, foot: float, pen: Pen) -> str:
    """From the day siding starts the bar is hatched as a sided wall is on the plan."""
    if bar.siding is None or bar.siding >= grid.first + timedelta(days=grid.count):
        return ""
    start = max(grid.at(bar.siding), left)
    if start >= right:
        return ""
    height, hatch, x = foot - top, [], start
    while x < right - 0.5:
        run = min(height, right - x)
        hatch.append(((x, foot), (x + run, foot - run)))
        x += HATCH
    drawn = [pen.line(segments(hatch), 0.75, "hatch")]
    if bar.siding >= grid.first:
        drawn.append(pen.line(track([(start, top - 5), (start, foot + 3)]), 2.0, "siding-day"))
    return "".join(drawn)


def draw_stop(bar: Bar, grid: Grid, top: float, height: float, pen: Pen) -> str:
    """The stop: inked on its day, in outline once treated, in pencil where it is still to be booked."""
    if bar.stop is not None and not grid.shows(bar.stop):
        return ""
    left = grid.waiting if bar.stop is None else grid.at(bar.stop)
    box = {
        "class": "chart__box",
        "x": number(left + INSET), "y": number(top - 2),
        "width": number(grid.a_day - 2 * INSET), "height": number(height + 4),
        "stroke": pen.red if bar.wrong else pen.ink,
        "stroke-width": number(2.5 if bar.wrong else 1.25),
        "fill": pen.ink if bar.stop and not bar.done else "none",
    }  # fmt: skip
    if bar.stop is None:
        box["stroke-dasharray"] = "4 3"
    size = 11.0
    middle, foot = left + grid.a_day / 2, top + height / 2 + size * 0.36
    lettered = element("text", {
        "class": "chart__letters", "x": number(middle), "y": number(foot), "font-size": number(size),
        "text-anchor": "middle", "stroke": "none", "fill": "none",
    }, words(bar.letters)) if bar.letters and not grid.narrow else ""  # fmt: skip
    kind = "waits" if bar.stop is None else "done" if bar.done else "booked"
    wrong = " chart__stop--wrong" if bar.wrong else ""
    attributes = {"class": f"chart__stop chart__stop--{kind}{wrong}", "href": bar.url, "aria-label": bar.says}
    inside = element("rect", box) + lettered + _reach(left, top, height, grid)
    return element("a", attributes | dict(bar.data), inside)


def _reach(left: float, top: float, height: float, grid: Grid) -> str:
    """On a phone a day is narrower than a finger: what is pressed reaches beyond its box."""
    if not grid.narrow:
        return ""
    x = min(max(left + (grid.a_day - THUMB) / 2, 0.0), grid.right - THUMB)
    return element("rect", {
        "x": number(x), "y": number(top - 3), "width": number(THUMB), "height": number(height + 6),
        "fill": "none", "stroke": "none", "pointer-events": "all",
    })  # fmt: skip
