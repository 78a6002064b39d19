"""The lines of a bank's list, read by what somebody said of its columns; each with its own fingerprint."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from portal.core.bank import cells as written
from portal.core.documents import fingerprint
from portal.core.errors import Problem
from portal.core.sheets.identity import folded
from portal.core.words import Said, say

MOST_LINES = 2000
MOST_TEXT = 1000
MOST_PROBLEMS = 8
Row = tuple[int, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: where it stands in the file, its day, how much came (under zero: went), what is said of it.

    `mark` is its fingerprint: of day, amount and text, and the how many-th of those alike it is that day. It
    is the same in every list that has the whole of that day, so lists may overlap.
    """

    line: int
    day: date
    amount: Decimal
    text: str
    mark: str


@dataclass(frozen=True, slots=True)
class Reading:
    """Which column is which, and how days and amounts are written."""

    naming: Sequence[str]
    days: str
    decimal: str

    def cell(self, key: str, row: Sequence[str]) -> str:
        """What stands in the column of this key; nothing where there is none."""
        for name, cell in zip(self.naming, row, strict=False):
            if name == key:
                return cell.strip()
        return ""


def read_lines(rows: Iterable[Row], reading: Reading) -> tuple[list[Line], list[Problem]]:
    """The lines, and what is wrong with those that cannot be read."""
    found: list[Line] = []
    problems: list[Problem] = []
    seen: Counter[tuple[date, Decimal, str]] = Counter()
    for number, row in rows:
        on, came = written.day(reading.cell("day", row), reading.days), _amount(row, reading)
        wrong = on if isinstance(on, Said) else came if isinstance(came, Said) else None
        if wrong is not None:
            problems.append(Problem("", say("Line {line}: {wrong}", line=number, wrong=wrong)))
            continue
        assert isinstance(on, date) and isinstance(came, Decimal)
        text = text_of(row, reading)
        alike = (on, came, folded(text))
        seen[alike] += 1
        found.append(Line(number, on, came, text, mark_of(*alike, seen[alike])))
    return found, problems


def mark_of(on: date, came: Decimal, text: str, ordinal: int) -> str:
    """The fingerprint of a line: the same wherever the same line is read again."""
    return fingerprint({"day": on.isoformat(), "amount": str(came), "text": text, "ordinal": ordinal})


def text_of(row: Sequence[str], reading: Reading) -> str:
    """What is said of it, in one line."""
    check = reading.cell("check", row)
    said = [reading.cell("text", row), reading.cell("more", row), f"#{check}" if check.strip("0") else ""]
    # Of old files half of a character may be left, which no database takes.
    whole = " ".join(" ".join(said).split()).encode(errors="replace").decode()
    return "".join(c for c in whole if c.isprintable())[:MOST_TEXT]


def _amount(row: Sequence[str], reading: Reading) -> Decimal | Said:
    if "amount" in reading.naming:
        return written.amount(reading.cell("amount", row), reading.decimal)
    came = written.amount(reading.cell("in", row), reading.decimal)
    went = written.amount(reading.cell("out", row), reading.decimal)
    if isinstance(came, Said) or isinstance(went, Said):
        return came if isinstance(came, Said) else went
    # Some write what went with a minus in its own column, some without.
    return came - abs(went)
