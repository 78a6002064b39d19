"""The rows of a CSV file or of what was pasted: which delimiter, which line each row begins in."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
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
    """The lots in a file. Raises `BadInput` with what is wrong with the file as a whole."""
    none = say("There is no lot below the names of the columns. The first row names the columns.")
    return _without_reasons(table_of(data, lambda header: known(header) != NOT_USED, MOST_ROWS, none))


def table_of(data: bytes, knows: Callable[[str], bool], most: int, none: Said, above: int = 0) -> Table:
    """The table in a file whose headers `knows` knows by name, with `most` rows; `none` is said of no rows.

    Up to so many rows `above` the headers are passed over, where a later one has more names that are known.
    """
    text, encoding = text_of(data)
    lines = _LINES.findall(text)
    delimiter = _delimiter(lines, knows)
    records = list(_records(lines, delimiter))
    counted = [sum(map(knows, record.cells)) for record in records[: above + 1]]
    begins = counted.index(max(counted)) if counted else 0
    records = records[begins:]
    if len(records) < 2:
        raise _refused(none)
    head, *rows = records
    if len(rows) > most:
        raise _refused(say("There are {count} rows; at most {limit} go at once. Send them in parts.",
                           count=len(rows), limit=most))  # fmt: skip
    if max(len(record.cells) for record in records) > MOST_COLUMNS:
        raise _refused(say("There are more than {limit} columns. Send only those that matter.",
                           limit=MOST_COLUMNS))  # fmt: skip
    return Table(encoding, delimiter, head.cells, tuple(rows))


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


def _delimiter(lines: list[str], knows: Callable[[str], bool]) -> str:
    return max(DELIMITERS, key=lambda one: _fits(lines, one, knows))


def _fits(lines: list[str], delimiter: str, knows: Callable[[str], bool]) -> tuple[int, int, int]:
    """How well a delimiter fits: headers known, records as wide as the first, width."""
    try:
        # Not strict: how well it fits is asked of broken files too, which are told of by line later.
        parsed = [row for row in islice(csv.reader(lines, delimiter=delimiter), _SAMPLE) if any(row)]
    except csv.Error:
        return 0, 0, 0
    width = max(map(len, parsed[:10]), default=0) if parsed else 0
    if width < 2:
        return 0, 0, width
    told = max(sum(map(knows, row)) for row in parsed[:10])
    return told, sum(len(row) == width for row in parsed), width


def _refused(says: Said) -> BadInput:
    return BadInput([Problem(WHOLE, says)])
