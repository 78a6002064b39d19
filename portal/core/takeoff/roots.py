"""Square roots of exact numbers: exact where there is an exact one, else to 60 decimals."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

_SCALE = 10**60


def root(value: Fraction) -> Fraction:
    """The square root of `value` (not negative)."""
    above, below = isqrt(value.numerator), isqrt(value.denominator)
    if above * above == value.numerator and below * below == value.denominator:
        return Fraction(above, below)
    return Fraction(isqrt(value.numerator * _SCALE * _SCALE // value.denominator), _SCALE)
