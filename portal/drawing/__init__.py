"""Drawing as SVG, a plan to scale, a line of days, a band of feet: one maker for the screen and for papers.

The core and the standard library only; knows neither Flask nor the store. It reads the geometry of the
takeoff (Plan), or the days that count (Days), and answers text in which everything is escaped, so a page may
take it as it is. The same plan gives the same bytes. Each wall is a group `wall wall--STATUS` with its place
among the walls in `data-wall` and the mark of its stretch in `data-stretch`; a wall whose siding has no place
on the sheet has the status `unplaced`.
"""

from __future__ import annotations

from portal.core.takeoff.plan import Plan
from portal.drawing.band import Mark, band_svg, marks_of
from portal.drawing.days import Worded, days_svg
from portal.drawing.frame import Frame, Margins, fit
from portal.drawing.held import Places, lines
from portal.drawing.lengths import feet_inches
from portal.drawing.marks import gap_mark, north_arrow, scale_bar
from portal.drawing.near import dimension_rest
from portal.drawing.pen import PAPER, SCREEN, Pen, track
from portal.drawing.strings import (
    BETWEEN,
    OFFSET,
    SIDES,
    Strings,
    one_wall_tells_all,
    seen_from,
    side_strings,
)
from portal.drawing.survey import Stretch, Survey, survey
from portal.drawing.walls import draw_wall, placed
from portal.drawing.whole import whole

__all__ = [
    "Mark",
    "Places",
    "Worded",
    "band_svg",
    "days_svg",
    "feet_inches",
    "marks_of",
    "places",
    "plan_svg",
]

BARE = 16.0
ANGLED = 44.0


def plan_svg(
    plan: Plan,
    *,
    title: str,
    desc: str,
    width: int = 720,
    dims: bool = True,
    for_paper: bool = False,
    ident: str = "plan",
    gap_word: str = "gap",
) -> str:
    """Draw one level.

    width: drawing units across, CSS pixels where shown at its own size; 720 on a page, 340 on a phone, so
    that lettering stays readable. dims: with dimension strings. for_paper: black on white with its own face,
    for papers; else lines take the color of the text around them. ident: prefix of the ids in the drawing,
    different for each drawing on a page. gap_word: the word before the length of a walk's gap, in the
    reader's language. Raises ValueError for a plan without walls.
    """
    seen = survey(plan)
    pen = PAPER if for_paper else SCREEN
    size = lettering(width)
    frame = framed(seen, width, dims)
    walls = placed(seen.walls, frame)
    drawn = [pen.area(ground(seen, frame), "ground"), *(draw_wall(wall, walls, pen) for wall in walls)]
    if dims:
        drawn.extend(dimensions(seen, walls, frame, pen, size))
    if seen.gap:
        west, south, east, north = seen.box
        heart = frame.at(((west + east) / 2, (south + north) / 2))
        drawn.append(gap_mark(seen.gap, heart, frame, pen, size, gap_word))
    drawn += [scale_bar(frame, pen, size), north_arrow(frame, pen, size)]
    return whole((frame.width, frame.height), title, desc, ident, "".join(drawn), for_paper)


def places(plan: Plan, width: int = 720, dims: bool = True) -> Places:
    """Where the walls of the drawing of this plan and this width are."""
    seen = survey(plan)
    frame = framed(seen, width, dims)
    return Places(frame, lines(placed(seen.walls, frame)))


def lettering(width: int) -> float:
    """The size of the letters on a drawing of this width."""
    return 13.0 if width >= 500 else 12.0


def framed(seen: Survey, width: int, dims: bool) -> Frame:
    """The frame of a drawing of this width, with room for its dimension strings."""
    return fit(seen.box, margins(seen, dims, lettering(width)), float(width))


def ground(seen: Survey, frame: Frame) -> str:
    """The floor, courts left out."""
    return "".join(track([frame.at(p) for p in ring], closed=True) for ring in seen.rings)


def margins(seen: Survey, dims: bool, size: float) -> Margins:
    """Room for the strings each side will have; walls at an angle need some of their own."""
    if not dims:
        return Margins(BARE, BARE, BARE, BARE)
    upright = Frame(0, 0, 1, 0, 0, 0, 0)
    walls = placed(seen.walls, upright)
    corners = [upright.at(point) for ring in seen.rings for point in ring]
    angled = any(max(abs(w.out[0]), abs(w.out[1])) < 1 - 1e-9 for w in walls)
    room = {}
    for side in SIDES:
        along = seen_from(side, walls)
        beyond = seen.overall(side.turned) is not None and not one_wall_tells_all(side, along, corners)
        need = (OFFSET if along else BARE) + (BETWEEN if beyond else 0) + 8
        need += size if side.letters_outward or not beyond else 2
        room[side.name] = max(need if along or beyond else BARE, ANGLED if angled else BARE)
    return Margins(room["west"], room["north"], room["east"], room["south"])


def dimensions(seen: Survey, walls: list[Stretch], frame: Frame, pen: Pen, size: float) -> list[str]:
    """All dimension strings: side by side first, then what they do not show, where it stands."""
    strings = Strings(pen, size)
    corners = [frame.at(point) for ring in seen.rings for point in ring]
    told: set[str] = set()
    for side in SIDES:
        along = seen_from(side, walls)
        told |= {wall.name for wall in along}
        side_strings(strings, side, along, corners, seen.overall(side.turned))
    dimension_rest(strings, walls, told, frame.width, frame.height)
    return strings.drawn
