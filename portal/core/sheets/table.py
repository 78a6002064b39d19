"""The rows of a CSV file or of what was pasted: which delimiter, which line each row begins in."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from portal.core.errors import BadInput, Problem
from portal.core.sheets.columns import NOT_USED, REASON, bare, known
from portal.core.sheets.inert import unguarded
from portal.core.sheets.text import WHOLE, text_of
from portal.core.words import Said, say

MOST_ROWS = 500
MOST_COLUMNS = 60
DELIMITERS = ("\t", ";", ",")
#: So many records tell which delimiter it is.
_SAMPLE = 20
# Only what RFC 4180 and old and new machines end a line with; Python's own splitlines knows a dozen more.
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")


@dataclass(frozen=True, slots=True)
class Record:
    """One row of theirs: the line it begins in, counted from 1, and its cells."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """What was read: headers, and the rows below them, blank ones left out."""

    encoding: str
    delimiter: str
    headers: tuple[str, ...]
    records: tuple[Record, ...]


def read_table(data: bytes) -> Table:
    """The table in a file. Raises `BadInput` with what is wrong with the file as a whole."""
    text, encoding = text_of(data)
    lines = _LINES.findall(text)
    delimiter = _delimiter(lines)
    records = list(_records(lines, delimiter))
    if len(records) < 2:
        raise _refused(
            say("There is no lot below the names of the columns. The first row names the columns.")
        )
    head, *rows = records
    if len(rows) > MOST_ROWS:
        raise _refused(say("There are {count} rows; at most {limit} go at once. Send them in parts.",
                           count=len(rows), limit=MOST_ROWS))  # fmt: skip
    if max(len(record.cells) for record in records) > MOST_COLUMNS:
        raise _refused(say("There are more than {limit} columns. Send only those that matter.",
                           limit=MOST_COLUMNS))  # fmt: skip
    return _without_reasons(Table(encoding, delimiter, head.cells, tuple(rows)))


def _without_reasons(table: Table) -> Table:
    """The same without the last column of a file that came back from here: it gets new reasons, or none."""
    last = len(table.headers) - 1
    if last < 1 or bare(table.headers[last]) != bare(REASON):
        return table
    rows = tuple(Record(r.line, r.cells[:last] + r.cells[last + 1 :]) for r in table.records)
    return Table(table.encoding, table.delimiter, table.headers[:last], rows)


def _records(lines: list[str], delimiter: str) -> Iterator[Record]:
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield Record(begins, tuple(unguarded(cell) for cell in cells))
            begins = reader.line_num + 1
    except csv.Error:
        raise _refused(say(
            "The row that begins in line {line} cannot be read: a quotation mark is opened and not closed, "
            "or stands within quotation marks without being doubled.", line=begins,
        )) from None  # fmt: skip


def _delimiter(lines: list[str]) -> str:
    return max(DELIMITERS, key=lambda one: _fits(lines, one))


def _fits(lines: list[str], delimiter: str) -> tuple[int, int, int]:
    """How well a delimiter fits: headers known, records as wide as the first, width."""
    try:
        # Not strict: how well it fits is asked of broken files too, which are told of by line later.
        parsed = [row for row in islice(csv.reader(lines, delimiter=delimiter), _SAMPLE) if any(row)]
    except csv.Error:
        return 0, 0, 0
    width = len(parsed[0]) if parsed else 0
    if width < 2:
        return 0, 0, width
    told = sum(known(header) != NOT_USED for header in parsed[0])
    return told, sum(len(row) == width for row in parsed), width


def _refused(says: Said) -> BadInput:
    return BadInput([Problem(WHOLE, says)])
