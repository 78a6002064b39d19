"""Sheets as people send them, by name: a row that is whole, and one changed in a cell."""

from __future__ import annotations

from typing import Any

import pytest

from portal.core.errors import BadInput
from portal.core.sheets.columns import COLUMNS
from portal.core.sheets.rows import LotRow, read_row
from portal.core.sheets.table import Table, read_table

KEYS = [column.key for column in COLUMNS]
WHOLE = {
    "lot": "Lot 7", "subdivision": "Quarry Bend", "house_number": "112", "street": "Lime Kiln Lane",
    "town": "Marlow Ferry", "state": "IA", "postal_code": "52999", "foundation": "slab", "exterior": "168",
    "interior": "128", "siding": "open",
}  # fmt: skip


def row(**cells: str) -> LotRow:
    """A whole row, with these cells instead, as it is read."""
    typed = WHOLE | cells
    return read_row([typed.get(key, "") for key in KEYS], KEYS, {})


def said(**cells: str) -> dict[str, list[str]]:
    """What is wrong with such a row, by column."""
    found: dict[str, list[str]] = {}
    for problem in row(**cells).problems:
        found.setdefault(problem.at, []).append(str(problem.says))
    return found


def read(text: str | bytes) -> Table:
    """A sheet as it is read."""
    return read_table(text if isinstance(text, bytes) else text.encode())


def refused(data: bytes | str) -> str:
    """Why a sheet is not read at all."""
    with pytest.raises(BadInput) as caught:
        read(data)
    (problem,) = caught.value.problems
    assert problem.at == "file"
    return str(problem.says)


def cells(table: Table) -> list[list[Any]]:
    """Headers and rows as lists."""
    return [list(table.headers), *(list(record.cells) for record in table.records)]
