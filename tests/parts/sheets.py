"""A builder's own sheet of 500 lots, 37 of them with a mistake: every kind at least three times."""

from __future__ import annotations

from collections.abc import Callable
from itertools import cycle

from portal.core.sheets.written import csv_file
from portal.store import plans
from tests.parts.house import House, ranch

LOTS, FAULTS = 500, 37

#: The builder's own names for the columns; one of them stands for nothing that matters here.
HEADERS = ("Home site", "Community", "Super", "Street address", "City", "State", "ZIP", "Foundation", "Plan",
           "Exterior", "Interior", "Storeys", "Siding status", "Siding day", "Remarks")  # fmt: skip

Row = dict[str, str]


def _lot(number: int) -> Row:
    found = dict.fromkeys(HEADERS, "") | {
        "Home site": f"Lot {number}", "Community": "Tamarack Ford", "Super": "W. Pike",
        "Street address": f"{number} Sluice Road", "City": "Marlow Ferry", "State": "IA", "ZIP": "52999",
        "Foundation": ("slab", "Basement", "crawl space")[number % 3], "Siding day": "6/14/2027",
    }  # fmt: skip
    if number % 2:
        return found | {"Plan": "Alder, mirrored" if number % 4 == 1 else "alder"}
    feet = {"Exterior": f"{140 + number % 60}' 6\"", "Interior": "1,024" if number % 50 == 0 else "128"}
    return (
        found | feet | {"Storeys": str(1 + number % 2), "Siding status": "Open", "Remarks": "Gate 7, “rear”"}
    )


def _feet(row: Row, **cells: str) -> Row:
    """The row by feet, whether it was before or not."""
    return row | {"Plan": "", "Exterior": "168", "Interior": "128", "Siding status": "open"} | cells


#: What is wrong with a row, and the words that have to say so.
KINDS: tuple[tuple[str, Callable[[Row], Row]], ...] = (
    ("Lot: This is missing.", lambda row: row | {"Home site": " "}),
    ("does not begin with a house number", lambda row: row | {"Street address": "Sluice Road"}),
    ("is none of your house plans", lambda row: row | dict.fromkeys(("Exterior", "Interior", "Storeys"), "")
     | {"Plan": "Elder"}),
    ("is not a length", lambda row: _feet(row, Exterior="about 170")),
    ("inches there are under 12", lambda row: _feet(row, Exterior="168' 13\"")),
    ("is no siding status", lambda row: _feet(row, **{"Siding status": "vinyl"})),
    ("is no foundation", lambda row: row | {"Foundation": "stilts"}),
    ("is no day", lambda row: row | {"Siding day": "after Easter"}),
    ("There is no house in this row", lambda row: _feet(row, Exterior="", Interior="")),
    ("names a plan or gives feet, not both", lambda row: _feet(row, Plan="Alder")),
    ("is the same lot with something else in it",
     lambda row: _feet(row, **{"Home site": "Lot 2", "Street address": "2 Sluice Road", "Remarks": "again"})),
    ("is no count of stories", lambda row: _feet(row, Storeys="one and a half")),
)  # fmt: skip


def big_sheet() -> tuple[bytes, dict[int, str]]:
    """The file, and by the number of each faulty row the words that have to say what is wrong with it."""
    rows = {number: _lot(number) for number in range(1, LOTS + 1)}
    kinds, faulty = cycle(KINDS), {}
    for number in range(11, 11 + 13 * FAULTS, 13):
        words, spoil = next(kinds)
        rows[number], faulty[number] = spoil(rows[number]), words
    assert len(faulty) == FAULTS and len(KINDS) == 12
    return csv_file([HEADERS, *([row[header] for header in HEADERS] for row in rows.values())]), faulty


def add_alder(house: House) -> None:
    """The house plan that half of the sheet names."""
    builder = house.builder
    with house.parts.store.writing() as work:
        plan = plans.add_plan(work, builder.company_id or "", "Alder", builder.person_id or "", builder.name)
        plans.add_edition(work, plan.id, ranch(), "", builder.name)
