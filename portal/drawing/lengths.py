"""Feet and inches as a draftsman letters them."""

from __future__ import annotations

import math
from fractions import Fraction

PARTS_OF_AN_INCH = 16


def feet_inches(feet: Fraction | float) -> str:
    """Feet (exact, or a float where a walk was measured at an angle) as 32′-6″ or 31′-11 7/8″.

    Rounded half-up to the sixteenth of an inch, the finest mark on a tape (common practice, no source).
    """
    parts = math.floor(Fraction(feet) * 12 * PARTS_OF_AN_INCH + Fraction(1, 2))
    inches, rest = divmod(parts, PARTS_OF_AN_INCH)
    whole, inch = divmod(inches, 12)
    shown = f"{whole}′-{inch}"
    if rest:
        fraction = Fraction(rest, PARTS_OF_AN_INCH)
        shown += f" {fraction.numerator}/{fraction.denominator}"
    return shown + "″"


def lettered_width(text: str, size: float) -> float:
    """About how wide the text will stand, in the same unit as its size. Errs to the wide side."""
    return size * sum(0.55 if char.isalnum() else 0.34 for char in text)
