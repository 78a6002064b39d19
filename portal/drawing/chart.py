"""Crew days as a builder draws a schedule: lots as rows, days as columns, hours a technician at the foot."""

from __future__ import annotations

from portal.drawing.chart_hours import draw_cells
from portal.drawing.chart_parts import (
    Bar,
    Cell,
    Chart,
    Grid,
    HoursLine,
    draw_stop,
    draw_window,
)
from portal.drawing.lengths import lettered_width
from portal.drawing.pen import SCREEN, Pen, element, number, segments, track, words

__all__ = ["Bar", "Cell", "Chart", "HoursLine", "chart_svg"]

HEAD, FOOT = 46.0, 8.0
LABELS = 176.0
#: Room for a row, and in it for its bar; a phone's rows have their name above the bar.
ROW, BAR = 42.0, 22.0
NARROW_ROW, NARROW_LABEL = 56.0, 20.0
LINE, CELLS = 44.0, 22.0


def chart_svg(chart: Chart, *, title: str, desc: str, width: int = 1120, ident: str = "chart") -> str:
    """Draw the schedule; 340 wide for a phone, where the names stand above their bars.

    Its stops are links, in the order of the rows: whoever cannot drag them follows them. Everything else
    is told by the tables beneath it, and is left out for whoever does not see it.
    """
    pen, grid = SCREEN, _grid(chart, width)
    row = NARROW_ROW if grid.narrow else ROW
    lines_at = HEAD + len(chart.bars) * row
    height = lines_at + (LINE * len(chart.lines) + 26.0 if chart.lines else 0.0) + FOOT
    unseen = [_rest(chart, grid, height), _heads(chart, grid, height, pen)]
    stops = []
    for n, bar in enumerate(chart.bars):
        top = HEAD + n * row
        at = top + (NARROW_LABEL + 6 if grid.narrow else (row - BAR) / 2 + 2)
        unseen += [_label(bar, top, grid, pen), draw_window(bar, grid, at, BAR, pen),
                   pen.line(track([(0, top), (grid.right, top)]), 0.5, "fine")]  # fmt: skip
        stops.append(draw_stop(bar, grid, at, BAR, pen))
    unseen.append(_lines(chart, grid, lines_at, pen))
    drawn = element("g", {"aria-hidden": "true"}, "".join(unseen)) + "".join(stops)
    return _whole((float(width), height), title, desc, ident, drawn, chart, grid)


def _grid(chart: Chart, width: int) -> Grid:
    count = len(chart.heads)
    if width < 500:
        a_day = (width - 1) / (count + 1)
        return Grid(chart.first, a_day, a_day, count, 0.0, narrow=True)
    a_day = (width - LABELS - 1) / (count + 1)
    return Grid(chart.first, LABELS + a_day, a_day, count, LABELS)


def _rest(chart: Chart, grid: Grid, height: float) -> str:
    """Days on which nobody treats."""
    found = []
    for day in chart.days:
        if day in chart.rest:
            found.append(element("rect", {
                "class": "chart__rest", "x": number(grid.at(day)), "y": number(HEAD),
                "width": number(grid.a_day), "height": number(height - HEAD - FOOT), "stroke": "none",
            }))  # fmt: skip
    return "".join(found)


def _heads(chart: Chart, grid: Grid, height: float, pen: Pen) -> str:
    """Weekday and number over each day, a hairline before each, a heavier one before a Monday."""
    size, foot = (9.0 if grid.narrow else 12.0), height - FOOT
    drawn = []
    for n, (above, below) in enumerate(chart.heads):
        day, left = chart.days[n], grid.left + n * grid.a_day
        if above:
            drawn.append(pen.text((left + 3, 14), above, size + 1, anchor="start"))
        drawn.append(pen.text((left + grid.a_day / 2, 34), below, size))
        monday = day.weekday() == 0
        drawn.append(pen.line(track([(left, 18 if monday else HEAD - 6), (left, foot)]),
                              1.0 if monday else 0.4, "window" if monday else "fine"))  # fmt: skip
    drawn.append(pen.line(track([(grid.right, HEAD - 6), (grid.right, foot)]), 0.4, "fine"))
    if chart.to_book and not grid.narrow:
        drawn.append(pen.text((grid.waiting + grid.a_day / 2, 34), chart.to_book, size))
    return "".join([*drawn, _today(chart, grid, foot, pen)])


def _today(chart: Chart, grid: Grid, foot: float, pen: Pen) -> str:
    if not grid.shows(chart.today):
        return ""
    x = grid.at(chart.today) + grid.a_day / 2
    point = track([(x - 4, HEAD - 4), (x, HEAD - 8), (x + 4, HEAD - 4), (x, HEAD)], closed=True)
    return pen.area(point, "today") + pen.line(segments([((x, HEAD), (x, foot))]), 0.75, "fine", dashes="1 4")


def _label(bar: Bar, top: float, grid: Grid, pen: Pen) -> str:
    if grid.narrow:
        text = _fitted(f"{bar.name}, {bar.about}", 12.0, grid.right - 4)
        # On ground of its own, so that no line of a day runs through the words.
        under = element("rect", {
            "class": "chart__under", "x": "0.00", "y": number(top + 3), "height": number(18.0),
            "width": number(min(lettered_width(text, 12.0) + 4, grid.right)), "stroke": "none",
        })  # fmt: skip
        return under + pen.text((2, top + 16), text, 12.0, anchor="start")
    name = pen.text((2, top + 18), _fitted(bar.name, 13.5, LABELS - 8), 13.5, anchor="start")
    return name + pen.text((2, top + 33), _fitted(bar.about, 11.0, LABELS - 8), 11.0, anchor="start")


def _lines(chart: Chart, grid: Grid, top: float, pen: Pen) -> str:
    """A line a technician."""
    if not chart.lines:
        return ""
    drawn = [pen.line(track([(0, top), (grid.right, top)]), 1.5, "window"),
             pen.text((2, top + 17), chart.hours, 11.0, anchor="start")]  # fmt: skip
    for n, line in enumerate(chart.lines):
        at = top + 26 + n * LINE
        cells = at + LINE - CELLS - 6
        name = pen.text(
            (2, cells + (-4 if grid.narrow else 15)), _fitted(line.name, 12.5, LABELS), 12.5, anchor="start"
        )
        ground = element("rect", {
            "class": "chart__ground", "x": number(grid.left), "y": number(at),
            "width": number(grid.right - grid.left), "height": number(LINE), "stroke": "none",
        })  # fmt: skip
        attributes = {"class": "chart__line"} | dict(line.data)
        drawn.append(element("g", attributes, ground + name + draw_cells(line, grid, cells, CELLS, pen)))
        drawn.append(pen.line(track([(0, at + LINE), (grid.right, at + LINE)]), 0.5, "fine"))
    return "".join(drawn)


def _fitted(text: str, size: float, room: float) -> str:
    """The text, cut where it would run into the days."""
    if lettered_width(text, size) <= room:
        return text
    while text and lettered_width(text + "…", size) > room:
        text = text[:-1]
    return text.rstrip(" ,") + "…"


def _whole(
    size: tuple[float, float], title: str, desc: str, ident: str, drawn: str, chart: Chart, grid: Grid
) -> str:
    """The drawing, a group of links; where its days stand is told to the script that drags them."""
    width, height = (number(units) for units in size)
    attributes = {
        "xmlns": "http://www.w3.org/2000/svg", "class": "chart-drawing", "role": "group",
        "aria-labelledby": f"{ident}-title {ident}-desc", "width": width, "height": height,
        "viewBox": f"0 0 {width} {height}", "fill": "none", "data-first": chart.first.isoformat(),
        "data-left": number(grid.left), "data-a-day": number(grid.a_day), "data-days": str(grid.count),
    }  # fmt: skip
    named = element("title", {"id": f"{ident}-title"}, words(title))
    told = element("desc", {"id": f"{ident}-desc"}, words(desc))
    return element("svg", attributes, named + told + drawn)
