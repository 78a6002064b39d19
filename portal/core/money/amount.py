"""The one door for amounts of money: exact decimals, two places, half away from zero.

Rounding rule: half-up on the exact product (Streamlined Sales and Use Tax
Agreement, section 324), and away from zero for negative amounts.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

CENT = Decimal("0.01")


def cents(value: Decimal | Fraction | int | str) -> Decimal:
    """`value` to the cent, half away from zero. Floats are refused: they are not amounts.

    Raises `TypeError` for a float, `ValueError` for a text that is no number.
    """
    return rounded(value, 2)


def rounded(value: Decimal | Fraction | int | str, places: int) -> Decimal:
    """`value` to `places` decimals, half away from zero, exact however long it is."""
    if isinstance(value, bool) or not isinstance(value, Decimal | Fraction | int | str):
        raise TypeError(f"an amount is never a {type(value).__name__}")
    exact = Fraction(value)
    scale = 10**places
    whole, rest = divmod(abs(exact.numerator) * scale, exact.denominator)
    if rest * 2 >= exact.denominator:
        whole += 1
    signed = -whole if exact < 0 else whole
    # The tuple form never rounds to the context's precision, whatever the size.
    digits = tuple(int(d) for d in str(abs(signed)))
    return Decimal((1 if signed < 0 else 0, digits, -places))


__all__ = ["CENT", "cents", "rounded"]
