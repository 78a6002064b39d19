"""Rows as CSV (RFC 4180), every cell inert."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence

from portal.core.sheets.inert import guarded

#: So that a spreadsheet reads the bytes as UTF-8.
MARK = "\ufeff"


class _Pieces(list[str]):
    def write(self, piece: str) -> None:
        self.append(piece)


def csv_text(rows: Iterable[Sequence[str]], delimiter: str = ",") -> str:
    """The rows, each ended by CRLF; a cell with a delimiter, a quotation mark or a line end is quoted."""
    pieces = _Pieces()
    csv.writer(pieces, delimiter=delimiter, lineterminator="\r\n").writerows(
        [guarded(cell) for cell in row] for row in rows
    )
    return "".join(pieces)


def csv_file(rows: Iterable[Sequence[str]], delimiter: str = ",") -> bytes:
    """The same as the bytes of a file, UTF-8 with a byte order mark."""
    return (MARK + csv_text(rows, delimiter)).encode()
