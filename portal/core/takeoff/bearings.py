"""Headings of walls, and where a wall of one foot leads: to 36 decimals, so that no figure hangs on luck.

Binary floating point would do for a drawing. Whole numbers make a square turned by 30 degrees
close exactly as well as one that stands straight, whatever machine it is reckoned on.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from portal.core.numbers import as_number

SCALE = 10**36

NAMED = {name: Fraction(45 * turn) for turn, name in enumerate(("N", "NE", "E", "SE", "S", "SW", "W", "NW"))}

_GUARD = 10**12
_PI = 3141592653589793238462643383279502884197169399375  # times 10**48
_FINE = SCALE * _GUARD


def heading_of(value: object) -> Fraction | None:
    """A heading in degrees clockwise from north, 0 to under 360, from its name or its degrees."""
    if isinstance(value, str) and value.strip().upper() in NAMED:
        return NAMED[value.strip().upper()]
    degrees = as_number(value)
    return degrees % 360 if isinstance(degrees, Fraction) and 0 <= degrees <= 360 else None


def is_square(degrees: Fraction) -> bool:
    """Whether a wall of this heading runs along one of the four axes."""
    return degrees.denominator == 1 and degrees.numerator % 90 == 0


@lru_cache(maxsize=1024)
def one_foot(degrees: Fraction) -> tuple[int, int]:
    """East and north of one foot walked at `degrees` clockwise from north, each times `SCALE`."""
    quarter, rest = divmod(degrees, 90)
    east, north = _sine(rest), _sine(90 - rest)
    for _ in range(int(quarter) % 4):
        east, north = north, -east
    return east, north


def _sine(degrees: Fraction) -> int:
    # The Taylor series, in whole numbers with twelve digits to spare; at most 90 degrees come here.
    angle = _PI * degrees.numerator // (180 * degrees.denominator)
    square = angle * angle // _FINE
    term = total = angle
    step = 1
    while term:
        term = -term * square // (_FINE * (step + 1) * (step + 2))
        if term == -1:
            break
        total += term
        step += 2
    return (total + _GUARD // 2) // _GUARD
