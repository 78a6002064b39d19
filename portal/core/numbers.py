"""Numbers out of a document, exact: a JSON number or a numeric text, never through a float."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import lcm

from portal.core.jsontext import Numeral, quoted
from portal.core.words import Said, say

# Not a rule of the trade, only a guard: exact sums with longer numbers would cost more than they say.
LONGEST_NUMBER = 200
_LARGEST_POWER = 200

_PLAIN = re.compile(r"-?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)")


def as_number(value: object) -> Fraction | Said:
    """`value` exactly, or what is wrong with it. A boolean is no number, a float is what it prints as."""
    if type(value) is int:
        return Fraction(value)
    if isinstance(value, str):
        if len(value) > LONGEST_NUMBER:
            return say("the number {read} is too long", read=quoted(value))
        return _json_number(value) if isinstance(value, Numeral) else _plain_number(value)
    if isinstance(value, Fraction):
        return value
    if isinstance(value, float | Decimal):
        return _json_number(str(value))
    return _no_number(value)


def _no_number(value: object) -> Said:
    return say("this must be a number, not {read}", read=quoted(value))


@lru_cache(maxsize=4096)
def _plain_number(text: str) -> Fraction | Said:
    bare = text.strip()
    if not _PLAIN.fullmatch(bare):
        return _no_number(text)
    exact = exactly(bare)
    return _out_of_range(text) if exact is None else exact


@lru_cache(maxsize=4096)
def _json_number(text: str) -> Fraction | Said:
    # A NaN of a float or a Decimal comes this way too; JSON text has none by now.
    exact = exactly(text) if text[-1].isdigit() else _no_number(text)
    return _out_of_range(text) if exact is None else exact


def _out_of_range(text: str) -> Said:
    return say("the number {read} is out of reach", read=quoted(Numeral(text)))


def exactly(text: str) -> Fraction | None:
    """The value of a decimal number, with or without a power of ten; None where it is out of all reach.

    The caller has made sure of the form and of a bounded length.
    """
    mantissa, _, power_text = text.lower().partition("e")
    whole_part, _, decimals = mantissa.partition(".")
    power = int(power_text or 0)
    if abs(power) > _LARGEST_POWER:
        return None
    power -= len(decimals)
    digits = int(whole_part + decimals)
    return Fraction(digits * 10**power) if power >= 0 else Fraction(digits, 10**-power)


def summed(*values: Fraction) -> Fraction:
    """The sum of several exact numbers, brought to one denominator at once: quicker than one by one."""
    below = lcm(*[value.denominator for value in values])
    return Fraction(sum([value.numerator * (below // value.denominator) for value in values]), below)


def plainly(value: Fraction) -> str:
    """`value` as people write it: no more decimals than it has, and at most six."""
    whole, rest = divmod(round(abs(value) * 10**6), 10**6)
    decimals = f"{rest:06d}".rstrip("0")
    return f"{'-' if value < 0 else ''}{whole}{'.' if decimals else ''}{decimals}"
