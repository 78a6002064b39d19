"""The hours of a technician's days on the schedule of crew days."""

from __future__ import annotations

from portal.drawing.chart_parts import INSET, Grid, HoursLine
from portal.drawing.pen import Pen, segments, track


def draw_cells(line: HoursLine, grid: Grid, top: float, height: float, pen: Pen) -> str:
    """The hours of each day, filled from the foot; over the hours in red; a day off is struck through."""
    drawn = []
    for n, cell in enumerate(line.cells):
        left, foot = grid.left + n * grid.a_day + INSET, top + height
        right = left + grid.a_day - 2 * INSET
        if cell.off:
            drawn.append(
                pen.line(segments([((left, foot), (right, top)), ((left, top), (right, foot))]), 0.75, "fine")
            )
        elif cell.share > 0 or cell.letters:
            level = foot - height * min(cell.share, 1.0)
            whole = track([(left, foot), (left, top), (right, top), (right, foot)], closed=True)
            drawn.append(pen.line(whole, 0.5, "fine"))
            outline = [(left, foot), (left, level), (right, level), (right, foot)]
            drawn.append(pen.line(track(outline, closed=True), 2.5 if cell.over else 1.0,
                                  "gap" if cell.over else "window", red=cell.over))  # fmt: skip
            hatch = [((left, y), (right, y)) for y in _levels(level, foot)]
            drawn.append(pen.line(segments(hatch), 0.75, "hatch") if hatch else "")
        if cell.letters and not grid.narrow:
            drawn.append(pen.text(((left + right) / 2, top - 3), cell.letters, 10.5, red=cell.over))
    return "".join(drawn)


def _levels(level: float, foot: float) -> list[float]:
    step, found, y = 3.5, [], foot - 3.5
    while y > level + 1:
        found.append(y)
        y -= step
    return found
