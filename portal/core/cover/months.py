"""A month as people write it."""

from __future__ import annotations

import re
from datetime import date

from portal.core.errors import BadInput, Problem
from portal.core.words import say

NAMES = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
         "november", "december")  # fmt: skip
_ISO = re.compile(r"(\d{4})-(\d{1,2})(?:-\d{1,2})?")
_FIGURES = re.compile(r"(\d{1,2})\s*[/.-]\s*(?:\d{1,2}\s*[/.-]\s*)?(\d{4})")
_NAMED = re.compile(r"([a-z]{3,9})\.?\s*(?:\d{1,2}\s*)?,?\s*(\d{4})")


def read_month(typed: str, at: str) -> date:
    """The first day of a month: 2027-07, 7/2027, 7/9/2027, July 2027, Jul 9, 2027. Raises `BadInput`."""
    text = " ".join(typed.lower().split())
    if not text:
        raise BadInput([Problem(at, say("Enter the month of closing, like 2027-07 or July 2027."))])
    year, month = _read(text)
    if not (1 <= month <= 12 and 1900 <= year <= 2999):
        says = say("“{read}” is no month. Write it like 2027-07 or July 2027.", read=typed.strip()[:20])
        raise BadInput([Problem(at, says)])
    return date(year, month, 1)


def _read(text: str) -> tuple[int, int]:
    if found := _ISO.fullmatch(text):
        return int(found[1]), int(found[2])
    if found := _FIGURES.fullmatch(text):
        return int(found[2]), int(found[1])
    if found := _NAMED.fullmatch(text):
        named = [n for n, name in enumerate(NAMES, 1) if name.startswith(found[1])]
        return (int(found[2]), named[0]) if len(named) == 1 else (0, 0)
    return 0, 0
