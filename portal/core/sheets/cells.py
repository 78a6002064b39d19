"""What stands in a cell, as people write it: a day, a siding status, a foundation, a count, yes or no.

Each reader answers the value, or the sentence that says what was read and what would be right.
"""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

from portal.core.jsontext import quoted
from portal.core.takeoff.house import OPEN, SIDED, WRAPPED
from portal.core.takeoff.lengths import length_or_fault
from portal.core.words import Said, say

SIDINGS = {
    "open": OPEN, "bare": OPEN, "none": OPEN, "no siding": OPEN, "not on": OPEN, "framing": OPEN, "off": OPEN,
    "wrapped": WRAPPED, "wrap": WRAPPED, "house wrap": WRAPPED, "wrap on": WRAPPED,
    "sided": SIDED, "siding on": SIDED, "siding": SIDED, "on": SIDED,
}  # fmt: skip
STANDS_ON = {
    "slab": "slab", "slab on grade": "slab", "basement": "basement", "full basement": "basement",
    "crawl space": "crawl space", "crawlspace": "crawl space", "crawl": "crawl space", "other": "other",
    "something else": "other",
}  # fmt: skip
YES_OR_NO = {
    "yes": True, "y": True, "x": True, "1": True, "true": True, "mirrored": True, "reversed": True,
    "no": False, "n": False, "0": False, "false": False, "": False,
}  # fmt: skip
MOST_STORIES = 60

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ISO = re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})(?:[T ]00:00(?::00)?)?", re.ASCII)
_SLASHED = re.compile(r"(?P<month>\d{1,2})/(?P<day>\d{1,2})/(?P<year>\d{4}|\d{2})", re.ASCII)
_NAMED = re.compile(r"(?P<name>[a-z]{3,9})\.? (?P<day>\d{1,2}),? (?P<year>\d{4})", re.ASCII)
_NAMED_SECOND = re.compile(r"(?P<day>\d{1,2})[ -](?P<name>[a-z]{3,9})\.?,?[ -](?P<year>\d{4})", re.ASCII)
_FULL_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september",
                "october", "november", "december")  # fmt: skip
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+(?=\D|$)", re.ASCII)


def plain(cell: str) -> str:
    """A cell for comparing: small letters, single spaces, a hyphen or an underline as a space."""
    return " ".join(re.sub(r"[-_]", " ", cell).casefold().split())


def siding(cell: str) -> str | Said:
    """A siding status."""
    return SIDINGS.get(plain(cell)) or say(
        "{read} is no siding status; write open, wrapped or sided.", read=quoted(cell)
    )


def foundation(cell: str) -> str | Said:
    """What the house stands on."""
    return STANDS_ON.get(plain(cell)) or say(
        "{read} is no foundation; write slab, basement, crawl space or other.", read=quoted(cell)
    )


def yes(cell: str) -> bool | Said:
    """Yes or no; empty is no."""
    found = YES_OR_NO.get(plain(cell))
    return say("{read} is neither yes nor no.", read=quoted(cell)) if found is None else found


def stories(cell: str) -> int | Said:
    """How many stories alike; empty is one."""
    bare = re.fullmatch(r"0*(\d{1,2})(?:\.0+)?", cell.strip() or "1", re.ASCII)
    if bare and 1 <= int(bare[1]) <= MOST_STORIES:
        return int(bare[1])
    return say("{read} is no count of stories; write a whole number from 1 to {most}.",
               read=quoted(cell), most=MOST_STORIES)  # fmt: skip


def length(cell: str, *, zero: bool = False) -> str | Said:
    """A length as a house document takes it: as it was typed, without the commas of thousands."""
    text = _THOUSANDS.sub(lambda found: found[0].replace(",", ""), cell.strip())
    feet = length_or_fault(text, zero=zero)
    return text if isinstance(feet, Fraction) else feet


def day(cell: str) -> date | Said:
    """A calendar day. Of two numbers that could be month or day, the month stands first."""
    text = " ".join(cell.split()).lower()
    for form in (_ISO, _SLASHED, _NAMED, _NAMED_SECOND):
        found = form.fullmatch(text)
        if found:
            try:
                return _day(found.groupdict())
            except ValueError:
                break
    return say("{read} is no day; write it as 2027-03-09 or 3/9/2027.", read=quoted(cell))


def _day(parts: dict[str, str]) -> date:
    year = int(parts["year"]) + (2000 if len(parts["year"]) == 2 else 0)
    month = int(parts["month"]) if "month" in parts else _month(parts["name"])
    return date(year, month, int(parts["day"]))


def _month(name: str) -> int:
    if name == "sept" or name in _MONTHS:
        return _MONTHS.index(name[:3]) + 1
    return _FULL_MONTHS.index(name) + 1


def address(cell: str) -> tuple[str, str] | Said:
    """House number and street out of one cell: the number is the first word, and has a digit."""
    number, _, street = " ".join(cell.split()).partition(" ")
    if any(c.isdigit() for c in number) and street:
        return number, street
    return say("{read} does not begin with a house number; write it like 112 Orchard Row.",
               read=quoted(cell))  # fmt: skip
