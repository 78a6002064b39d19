"""Lengths as people write them on plans and tapes, read into exact feet."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from portal.core.errors import BadInput, Problem
from portal.core.jsontext import Numeral, quoted
from portal.core.numbers import exactly
from portal.core.words import Said, say

LONGEST_FEET = 5_000
SHORTEST_FEET = Fraction(1, 1000)
LONGEST_NUMBER = 40
LONGEST_TEXT = 200

# 1 in = 25.4 mm exactly (NIST Handbook 44, Appendix C), so that 1 ft = 0.3048 m.
FEET_IN = {
    "m": Fraction(10_000, 3_048),
    "cm": Fraction(100, 3_048),
    "mm": Fraction(10, 3_048),
}

_MARKS = str.maketrans(dict.fromkeys("′‵ʹʼ‘’‛", "'") | dict.fromkeys("″‶ʺ“”‟", '"'))

_FEET = r"(?:'|ft\.?|foot|feet)"
_INCHES = r'(?:"|in\.?|inch|inches)'
_DECIMAL = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
# Fractions of up to five digits: beyond any tape, and sums of many stay quick.
_SHARE = r"[0-9]{1,5} ?/ ?[0-9]{1,5}"
_MIXED = rf"(?:[0-9]+ )?{_SHARE}"
_AMOUNT = rf"({_DECIMAL}|{_MIXED})"

_FEET_AND_INCHES = re.compile(rf"([0-9]+) ?{_FEET} ?-? ?{_AMOUNT} ?{_INCHES}")
# `32-6`: feet, a hyphen, inches. A bare fraction behind the hyphen is refused: `32-1/2` is written
# for 32 1/2 as often as for 32 ft and half an inch.
_HYPHENATED = re.compile(rf"([0-9]+) ?- ?({_DECIMAL}|[0-9]+ {_SHARE}) ?{_INCHES}?")
_ONE_UNIT = re.compile(rf"{_AMOUNT} ?(?:({_FEET})|{_INCHES})")
_METRIC = re.compile(rf"({_DECIMAL}) ?(m|cm|mm)")
_PLAIN = re.compile(_DECIMAL)
# Any spacing is allowed, so a long text may still be a length; a long number is none.
_LONG_NUMBER = re.compile(rf"[0-9.]{{{LONGEST_NUMBER + 1},}}")


def read_length(value: object, *, zero: bool = False, signed: bool = False) -> Fraction:
    """`value` in feet: a JSON number is decimal feet, a text is any of the forms of the trade.

    `zero` allows a length of nothing, `signed` one on either side of an origin. Raises `BadInput`
    with one problem at the path "" that says what was read.
    """
    feet = length_or_fault(value, zero=zero, signed=signed)
    if isinstance(feet, Said):
        raise BadInput([Problem("", feet)])
    return feet


def length_or_fault(value: object, *, zero: bool = False, signed: bool = False) -> Fraction | Said:
    """`value` in feet, or what is wrong with it."""
    if type(value) is int:
        feet: Fraction | Said = Fraction(value)
    elif isinstance(value, str):
        text = value.strip()
        if len(text) > LONGEST_NUMBER:
            if _LONG_NUMBER.search(text):
                return _too_long(value)
            if len(text) > LONGEST_TEXT:
                return _no_length(value)
        feet = _from_number(text) if isinstance(value, Numeral) else _from_text(text)
    elif isinstance(value, Fraction):
        feet = value
    elif isinstance(value, float | Decimal):
        feet = _from_number(str(value))
    else:
        return _no_length(value)
    return feet if isinstance(feet, Said) else _bounded(feet, value, zero, signed)


def _bounded(feet: Fraction, value: object, zero: bool, signed: bool) -> Fraction | Said:
    # Compared as whole numbers: this is asked of every length of every house.
    size, parts = feet.numerator, feet.denominator
    if size < 0:
        if not signed:
            return say("{read} is negative; a length here must not be", read=quoted(value))
        size = -size
    if size > LONGEST_FEET * parts:
        limit = f"{LONGEST_FEET:,}"
        return say("{read} is over {limit} ft, the most for one length", read=quoted(value), limit=limit)
    if size * 1000 < parts and size:
        return say("{read} is under 0.001 ft, the least for one length", read=quoted(value))
    if not size and not zero and not signed:
        return say("{read} is no length here; it must be over zero", read=quoted(value))
    return feet


def _no_length(value: object) -> Said:
    return say("{read} is not a length; write it like 32' 6\", 32.5 ft or 9.75 m", read=quoted(value))


def _too_long(value: object) -> Said:
    return say(
        "a number here has at most {limit} characters: {read}", limit=LONGEST_NUMBER, read=quoted(value)
    )


@lru_cache(maxsize=4096)
def _from_number(text: str) -> Fraction | Said:
    if len(text) > LONGEST_NUMBER:
        return _too_long(Numeral(text))
    exact = exactly(text) if text[-1:].isdigit() else None
    return _no_length(Numeral(text)) if exact is None else exact


@lru_cache(maxsize=4096)
def _from_text(text: str) -> Fraction | Said:
    bare = " ".join(text.translate(_MARKS).replace("''", '"').lower().split())
    minus = bare.startswith("-")
    if minus:
        bare = bare[1:].lstrip()
    feet = _unsigned(bare, text)
    return -feet if minus and isinstance(feet, Fraction) else feet


def _unsigned(bare: str, text: str) -> Fraction | Said:
    if _PLAIN.fullmatch(bare):
        feet: Fraction | None = exactly(bare)
    elif match := _FEET_AND_INCHES.fullmatch(bare) or _HYPHENATED.fullmatch(bare):
        inches = _amount(match[2])
        if inches is not None and inches >= 12:
            return say(
                "{read} has {inches} in behind the feet; inches there are under 12",
                read=quoted(text), inches=match[2],
            )  # fmt: skip
        feet = None if inches is None else int(match[1]) + inches / 12
    elif match := _ONE_UNIT.fullmatch(bare):
        amount = _amount(match[1])
        feet = amount if amount is None or match[2] else amount / 12
    elif match := _METRIC.fullmatch(bare):
        amount = exactly(match[1])
        feet = None if amount is None else amount * FEET_IN[match[2]]
    else:
        feet = None
    return _no_length(text) if feet is None else feet


def _amount(text: str) -> Fraction | None:
    if "/" not in text:
        return exactly(text)
    front, _, below = text.partition("/")
    whole, _, above = front.strip().rpartition(" ")
    over, under = int(above), int(below)
    # 5 3/2 is a slip of the pen more often than a length, and so is 5 2/2.
    return None if over >= under else int(whole or 0) + Fraction(over, under)


def typed_feet(feet: Fraction) -> str:
    """A length as one would type it, exactly: 32' 6 1/2"."""
    whole, rest = divmod(abs(feet) * 12, 12)
    inches, share = divmod(rest, 1)
    shown = f"{inches} {share.numerator}/{share.denominator}" if share else f"{inches}"
    return f"{'-' if feet < 0 else ''}{whole}'" + (f' {shown}"' if rest else "")
