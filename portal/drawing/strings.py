"""Dimension strings: lines outside the walls, ticked at the corners, lettered in feet and inches.

Each side of the house has a string of the walls one sees from that side, and beyond it one over all. Walls
hidden from their side (in a notch or a court) and walls at an angle are dimensioned where they stand, if
there is room. What finds no room is left out; the list of walls beside a drawing says every length.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from portal.drawing.lengths import feet_inches, lettered_width
from portal.drawing.pen import Pen, Point, track
from portal.drawing.survey import Stretch

OFFSET = 33.0
BETWEEN = 30.0
NEAR = 20.0
LETTER = 4.0
SAME = 0.05


@dataclass(frozen=True, slots=True)
class Side:
    """A side of the drawing. Along it runs u; away from the house runs v."""

    name: str
    turned: bool
    sign: int

    def flat(self, point: Point) -> Point:
        """A point as (u, v)."""
        return (point[1], self.sign * point[0]) if self.turned else (point[0], self.sign * point[1])

    def point(self, u: float, v: float) -> Point:
        """The point at (u, v)."""
        return (self.sign * v, u) if self.turned else (u, self.sign * v)

    def sees(self, wall: Stretch) -> bool:
        """Whether a wall runs along this side and looks to it."""
        return self.flat(wall.out)[1] > 1 - 1e-9

    @property
    def letters_outward(self) -> bool:
        """Lettering stands on its line; read from below or from the right, that is outward here."""
        return self.sign < 0


NORTH, SOUTH = Side("north", False, -1), Side("south", False, 1)
WEST, EAST = Side("west", True, -1), Side("east", True, 1)
SIDES = (NORTH, EAST, SOUTH, WEST)


def seen_from(side: Side, walls: Iterable[Stretch]) -> list[Stretch]:
    """The walls of one side that nothing hides from it, in order along it."""
    kept: list[tuple[float, float, Stretch]] = []
    for wall in sorted(
        (w for w in walls if side.sees(w)), key=lambda w: (-side.flat(w.start)[1], side.flat(w.start)[0])
    ):
        ends = sorted((side.flat(wall.start)[0], side.flat(wall.end)[0]))
        if all(ends[1] <= a + SAME or ends[0] >= b - SAME for a, b, _ in kept):
            kept.append((ends[0], ends[1], wall))
    return [wall for _, _, wall in sorted(kept, key=lambda k: k[:2])]


@dataclass
class Strings:
    """The dimension strings of one drawing, and the ground its lines and its lettering stand on."""

    pen: Pen
    size: float
    taken: list[list[Point]] = field(default_factory=list)
    lines: list[list[Point]] = field(default_factory=list)
    drawn: list[str] = field(default_factory=list)

    def tick(self, at: Point) -> None:
        self.drawn.append(self.pen.line(track([(at[0] - 4, at[1] + 4), (at[0] + 4, at[1] - 4)]), 1.5, "tick"))

    def fine(self, start: Point, end: Point) -> None:
        self.drawn.append(self.pen.line(track([start, end]), 0.75, "fine"))
        self.lines.append([start, end])

    def letter(self, side: Side, u: float, v: float, text: str, row: int) -> None:
        """Text over a string at v: row 0 stands on its line, row 1 on the farther side of the house."""
        rise = self.baseline(side, row)
        at = side.point(u, v + rise)
        self.drawn.append(self.pen.text(at, text, self.size, turn=-90.0 if side.turned else 0.0))
        half = lettered_width(text, self.size) / 2
        low, high = (rise, rise + self.size) if side.letters_outward else (rise - self.size, rise)
        self.taken.append([side.point(u + a, v + b) for a, b in
                           ((-half, low), (half, low), (half, high), (-half, high))])  # fmt: skip

    def baseline(self, side: Side, row: int) -> float:
        """How far outward of its line the foot of the lettering stands."""
        if side.letters_outward:
            return LETTER + row * (self.size - 1)
        return -LETTER if row == 0 else LETTER + 1.5 + self.size * 0.72


@dataclass(frozen=True, slots=True)
class Span:
    """One piece of a string: from u to u, and its lettering."""

    start: float
    end: float
    text: str


def spans_of(side: Side, walls: list[Stretch]) -> list[Span]:
    spans = []
    for wall in walls:
        a, b = sorted((side.flat(wall.start)[0], side.flat(wall.end)[0]))
        spans.append(Span(a, b, feet_inches(wall.length)))
    return spans


def letter_spans(
    strings: Strings, side: Side, v: float, spans: list[Span], edges: tuple[float, float]
) -> None:
    """Letter each piece on its line, or in the second row where it is too short for its text."""
    second_row_free = edges[0]
    for span in spans:
        wide = lettered_width(span.text, strings.size)
        middle = (span.start + span.end) / 2
        if wide + 4 <= span.end - span.start:
            strings.letter(side, middle, v, span.text, 0)
            continue
        middle = min(max(middle, edges[0] + wide / 2 + 3), edges[1] - wide / 2 - 3)
        if middle - wide / 2 >= second_row_free:
            strings.letter(side, middle, v, span.text, 1)
            second_row_free = middle + wide / 2 + 6


def run(strings: Strings, side: Side, v: float, spans: list[Span], corners: list[Point]) -> None:
    """One string: its line, a tick and an extension line at every corner, its lettering."""
    stops = sorted({round(u, 2) for span in spans for u in (span.start, span.end)})
    for span in spans:
        strings.fine(side.point(span.start, v), side.point(span.end, v))
    for u in stops:
        ground = max((fv for fu, fv in map(side.flat, corners) if abs(fu - u) < SAME), default=v - OFFSET)
        strings.fine(side.point(u, min(ground + 14, v - 4)), side.point(u, v + 5))
        strings.tick(side.point(u, v))
    letter_spans(strings, side, v, spans, (stops[0], stops[-1]))


def one_wall_tells_all(side: Side, seen: list[Stretch], corners: list[Point]) -> bool:
    """Whether a side is one wall from end to end, so that a second string would only repeat the first."""
    us = [side.flat(corner)[0] for corner in corners]
    return (
        len(seen) == 1
        and abs(side.flat(seen[0].end)[0] - side.flat(seen[0].start)[0]) > max(us) - min(us) - SAME
    )


def side_strings(
    strings: Strings, side: Side, seen: list[Stretch], corners: list[Point], overall: Fraction | None
) -> None:
    """The string of the walls of one side and, where it is not the same, the one over all."""
    us = [side.flat(corner)[0] for corner in corners]
    v = max(side.flat(corner)[1] for corner in corners) + OFFSET
    spans = spans_of(side, seen)
    if spans:
        run(strings, side, v, spans, corners)
    if overall is not None and not one_wall_tells_all(side, seen, corners):
        edge = v + (BETWEEN if spans else 0.0)
        run(strings, side, edge, [Span(min(us), max(us), feet_inches(overall))],
            [side.point(u, v) for u in (min(us), max(us))] if spans else corners)  # fmt: skip
