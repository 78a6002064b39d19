"""Which one change closes a walk that does not come back: a wall that was left out, or a wrong length.

A wall left out is looked for only along a heading that a framed house is likely to have: one of the eight
winds, or square to a wall that is there. Every change found is tried: what is offered closes, as the engine
judges it, and crosses nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from portal.core.takeoff import walk
from portal.core.takeoff.bearings import NAMED, SCALE, one_foot
from portal.core.takeoff.house import Survey, WalkedWall

#: More than these are no help. Beyond so many walls trying every place would take longer than a look.
MOST_OFFERED, MOST_WALLS = 3, 60
SIXTEENTHS = 12 * 16


@dataclass(frozen=True, slots=True)
class Closing:
    """One change: with a heading, a wall of `length` put in at place `at`; else wall `at` made so long."""

    at: int
    length: Fraction
    heading: Fraction | None = None

    def applied(self, walls: Sequence[WalkedWall]) -> tuple[WalkedWall, ...]:
        """The walk with this change."""
        before, after = tuple(walls[: self.at]), tuple(walls[self.at :])
        if self.heading is None:
            return (*before, replace(after[0], length=self.length), *after[1:])
        return (*before, WalkedWall(self.heading, self.length), *after)


def closings(walls: Sequence[WalkedWall]) -> tuple[Closing, ...]:
    """The changes of which each alone closes the walk, the likeliest first; none where it closes already."""
    missing = walk.missing(walls) if 2 < len(walls) <= MOST_WALLS else None
    if missing is None:
        return ()
    tried = (one for one in _changes(walls, missing) if isinstance(walk.survey(one.applied(walls)), Survey))
    return tuple(islice(tried, MOST_OFFERED))


def _changes(walls: Sequence[WalkedWall], missing: tuple[Fraction, Fraction]) -> Iterator[Closing]:
    """A wall left out at the end, then anywhere else; then each wall lengthened or cut short."""
    heading = max(_likely(walls), key=lambda one: _along(missing, one))
    length, limit = _measured(_along(missing, heading)), walk.limit_of(walls, _far(missing))
    if _off(missing, heading) <= limit:
        for at in range(len(walls), 0, -1):
            beside = {wall.heading for wall in walls[at - 1 : at + 1]}
            # In line with a wall beside it, it is that wall that is too short.
            if not beside & {heading, (heading + 180) % 360}:
                yield Closing(at, length, heading)
    for at in range(len(walls) - 1, -1, -1):
        length = _measured(walls[at].length + _along(missing, walls[at].heading))
        if length > 0 and _off(missing, walls[at].heading) <= limit:
            yield Closing(at, length)


def _likely(walls: Sequence[WalkedWall]) -> list[Fraction]:
    square = {(wall.heading + quarter) % 360 for wall in walls for quarter in (0, 90, 180, 270)}
    return [*NAMED.values(), *sorted(square - set(NAMED.values()))]


def _along(missing: tuple[Fraction, Fraction], heading: Fraction) -> Fraction:
    east, north = one_foot(heading)
    return (missing[0] * east + missing[1] * north) / SCALE


def _off(missing: tuple[Fraction, Fraction], heading: Fraction) -> Fraction:
    """How far from closed a wall along this heading, of whatever length, leaves the walk."""
    return abs(_along(missing, (heading + 90) % 360))


def _far(missing: tuple[Fraction, Fraction]) -> Fraction:
    return abs(missing[0]) + abs(missing[1])


def _measured(feet: Fraction) -> Fraction:
    """To the sixteenth of an inch, the finest mark on a tape (common practice, no source)."""
    return Fraction(round(feet * SIXTEENTHS), SIXTEENTHS)
