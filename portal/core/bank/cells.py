"""Days and amounts as banks write them. How a list writes them is chosen by a person; it is proposed here."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from portal.core.jsontext import quoted
from portal.core.money.amount import cents
from portal.core.words import Said, say

#: How days are written: year first (ISO 8601), month first as in the United States, day first.
DAYS = ("year", "month", "day")
#: What stands before the cents.
DECIMALS = ("point", "comma")

_PARTED = r"(\d{{1,{a}}})[-/. ](\d{{1,2}})[-/. ](\d{{1,{b}}})"
_YEAR = re.compile(_PARTED.format(a=4, b=2) + r"(?:[T ].*)?|(\d{4})(\d{2})(\d{2})", re.ASCII)
_OTHER = re.compile(_PARTED.format(a=2, b=4) + r"(?: .*)?", re.ASCII)
_SIGNS = str.maketrans({"−": "-", "–": "-", "\u00a0": " ", "\u202f": " ", "’": "'"})
_GROUPED = {
    "point": re.compile(r"(\d{1,3}(?:[, ']\d{3})+|\d+)?(?:\.(\d{0,2}))?", re.ASCII),
    "comma": re.compile(r"(\d{1,3}(?:[. ']\d{3})+|\d+)?(?:,(\d{0,2}))?", re.ASCII),
}
MOST_DIGITS = 9
FIRST_YEAR = 1990


def day(cell: str, written: str) -> date | Said:
    """A day, written year, month or day first."""
    text = " ".join(cell.split())
    found = _YEAR.fullmatch(text) if written == "year" else _OTHER.fullmatch(text)
    if found:
        one, two, three = (int(part) for part in found.groups() if part is not None)
        year, month, day_ = {"year": (one, two, three), "month": (three, one, two)}.get(
            written, (three, two, one)
        )
        year += 2000 if year < 100 else 0
        try:
            # No bank of today has lines from before; what looks so was read in the wrong order.
            return date(year, month, day_) if year >= FIRST_YEAR else _no_day(cell)
        except ValueError:
            pass
    return _no_day(cell)


def _no_day(cell: str) -> Said:
    return say("{read} is no day.", read=quoted(cell))


def amount(cell: str, written: str) -> Decimal | Said:
    """An amount, less than zero in parentheses or with a minus at either end; nothing for an empty cell."""
    text = cell.translate(_SIGNS).strip().upper()
    minus = text.startswith("(") and text.endswith(")")
    text = text.strip("()").strip()
    for mark in ("USD", "$"):
        text = text.replace(mark, "").strip()
    if text.endswith(("DR", "CR")):
        minus, text = minus or text.endswith("DR"), text[:-2].strip()
    if text[:1] in "+-" and text:
        minus, text = minus or text[0] == "-", text[1:].strip()
    elif text[-1:] == "-":
        minus, text = True, text[:-1].strip()
    found = _GROUPED[written].fullmatch(text)
    if not text:
        return Decimal("0.00")
    digits = re.sub(r"\D", "", found[1] or "") if found else ""
    if found is None or len(digits) > MOST_DIGITS or not (digits or found[2]):
        return say("{read} is no amount.", read=quoted(cell))
    value = cents(f"{digits or 0}.{found[2] or 0}")
    return -value if minus else value


def days_proposed(cells: Iterable[str]) -> str:
    """How most of these days can be read; of month and day first, where both fit, month first."""
    some = [cell for cell in cells if cell.strip()]
    return max(DAYS, key=lambda written: sum(isinstance(day(cell, written), date) for cell in some))


def decimal_proposed(cells: Iterable[str]) -> str:
    """What stands before the cents in most of these amounts; a point where nothing tells."""
    some = [cell.strip(" ()-+$") for cell in cells]
    points, commas = (
        sum(bool(re.search(pattern, cell)) for cell in some) for pattern in (r"\.\d{1,2}$", r",\d{1,2}$")
    )
    return "comma" if commas > points else "point"
