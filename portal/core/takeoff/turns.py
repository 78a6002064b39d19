"""Walls given as a turn from the wall before: left, right, L, R, or with degrees (left 45), as headings.

The engine knows headings only, so a turn becomes one before it reads. A turn alone is a square corner.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from portal.core.numbers import plainly
from portal.core.takeoff.bearings import NAMED, heading_of

SQUARE = Fraction(90)

_TURN = re.compile(
    r"(l|left|r|right)(?: ?([0-9]{1,3}(?:\.[0-9]{1,6})?) ?(?:°|deg(?:rees?)?)?)?", re.IGNORECASE
)


def turn_of(typed: str) -> Fraction | None:
    """Degrees clockwise of a turn, over 0 and under 180 either way; None for what is no turn."""
    match = _TURN.fullmatch(" ".join(typed.split()))
    if match is None:
        return None
    degrees = Fraction(match[2]) if match[2] else SQUARE
    if not 0 < degrees < 180:
        return None
    return -degrees if match[1][0] in "lL" else degrees


def headings(typed: Sequence[str]) -> list[str]:
    """What was typed with every turn made a heading; a turn after a wall without one stays as it is."""
    found: list[str] = []
    for text in typed:
        turn, before = turn_of(text), heading_of(found[-1]) if found else None
        found.append(text if turn is None or before is None else written((before + turn) % 360))
    return found


def written(heading: Fraction) -> str:
    """A heading as one would type it: its name where it has one, else degrees."""
    names = [name for name, degrees in NAMED.items() if degrees == heading]
    return names[0] if names else plainly(heading)


__all__ = ["headings", "turn_of", "written"]
