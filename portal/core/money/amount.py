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
    whole = _whole(Fraction(value), 10**places)
    if places <= 0:
        return Decimal(whole * 10**-places)
    # From text a Decimal never rounds to the context's precision, whatever the size.
    return Decimal(_with_point(whole, places))


def in_cents(value: Fraction) -> int:
    """`value` in whole cents, half away from zero."""
    return _whole(value, 100)


def from_cents(count: int) -> Decimal:
    """So many cents as an amount."""
    return Decimal(_with_point(count, 2))


def two_places(value: Fraction) -> str:
    """`value` as text with two decimals, half away from zero: how every figure of an estimate is shown."""
    above, below = value.numerator, value.denominator
    if above < 0:
        return _with_point(_whole(value, 100), 2)
    # The usual case without a further call: an estimate shows some fifty figures.
    whole, hundredths = divmod((200 * above + below) // (2 * below), 100)
    return f"{whole}.{hundredths:02}"


def _whole(value: Fraction, scale: int) -> int:
    above, below = value.numerator * scale, value.denominator
    return (2 * above + below) // (2 * below) if above >= 0 else -((below - 2 * above) // (2 * below))


def _with_point(count: int, places: int) -> str:
    digits = str(abs(count)).zfill(places + 1)
    return f"{'-' if count < 0 else ''}{digits[:-places]}.{digits[-places:]}"


__all__ = ["CENT", "cents", "from_cents", "in_cents", "rounded", "two_places"]
