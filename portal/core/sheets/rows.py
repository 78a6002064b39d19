"""One row of a sheet as a lot: everything that is wrong with it, each at its column, in words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from portal.core.errors import Problem
from portal.core.jsontext import quoted
from portal.core.sheets import cells
from portal.core.sheets.columns import BY_KEY, NOT_USED
from portal.core.words import Said, say

MISSING = say("This is missing.")
#: What every lot needs; its address is read apart.
TEXTS_NEEDED = ("lot", "town", "state", "postal_code")
PLACE_NEEDED = (*TEXTS_NEEDED, "house_number", "street")
HOUSE_COLUMNS = ("exterior", "interior", "width", "depth", "stories")
_MIRRORED = re.compile(r"(?P<plan>.*\S)\s*(?:,\s*|\(|\s-\s)\s*(?:mirrored|reversed)\s*\)?", re.IGNORECASE)


@dataclass(slots=True)
class LotRow:
    """A lot as a row has it. `house` is a house document, or None where a plan is named or all is wrong."""

    texts: dict[str, str] = field(default_factory=dict)
    foundation: str = ""
    siding_starts: date | None = None
    insulation_starts: date | None = None
    plan: str = ""
    mirrored: bool = False
    siding: str = ""
    house: dict[str, Any] | None = None
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, column: str, says: Said) -> None:
        """One more thing that is wrong."""
        self.problems.append(Problem(column, says))


def read_row(record: Sequence[str], naming: Sequence[str], fill: Mapping[str, str]) -> LotRow:
    """The lot in the cells of a row, whose columns are named. `fill` is said for rows that are silent."""
    row = LotRow()
    own = {
        column: cell.strip()
        for column, cell in zip(naming, record, strict=False)
        if column != NOT_USED and cell.strip()
    }
    values = {key: own.get(key) or fill.get(key, "").strip() for key in BY_KEY}
    if values["plan"]:
        values["siding"] = own.get("siding", "")  # a plan has its own, which what holds for all leaves alone
    if any(cell.strip() for cell in record[len(naming) :]):
        row.wrong("", say(
            "This row has {count} cells, and {width} columns have names. Is there a comma too many?",
            count=len(record), width=len(naming),
        ))  # fmt: skip
    for key, value in values.items():
        if len(value) > BY_KEY[key].limit:
            row.wrong(key, say("{read} has {count} characters; at most {limit} are taken here.",
                               read=quoted(value), count=len(value), limit=BY_KEY[key].limit))  # fmt: skip
            values[key] = value[: BY_KEY[key].limit]
    _read_place(row, values)
    _read_days(row, values)
    _read_house(row, values)
    return row


def _read_place(row: LotRow, values: dict[str, str]) -> None:
    number, street = values["house_number"], values["street"]
    if values["address"] and not (number and street):
        whole = values["address"]
        found = cells.address(whole if whole.startswith(number) else f"{number} {whole}")
        if isinstance(found, Said):
            row.wrong("address", found)
            number, street = "", values["address"]
        else:
            number, street = found
    kept = {key: values[key] for key in ("lot", "subdivision", "town", "state", "postal_code", "notes")}
    row.texts = kept | {"house_number": number, "street": street}
    # An address that could not be read is told already, and so is what it lacks.
    needed = TEXTS_NEEDED if any(problem.at == "address" for problem in row.problems) else PLACE_NEEDED
    for key in needed:
        if not row.texts[key] and not any(problem.at == key for problem in row.problems):
            row.wrong(key, MISSING)
    if number and not any(c.isalnum() for c in number):
        row.wrong("house_number", say("{read} is no house number; it has a digit or a letter.",
                                      read=quoted(number)))  # fmt: skip


def _read_days(row: LotRow, values: dict[str, str]) -> None:
    for key in ("siding_starts", "insulation_starts"):
        found = cells.day(values[key]) if values[key] else None
        if isinstance(found, Said):
            row.wrong(key, found)
        else:
            setattr(row, key, found)
    if not values["foundation"]:
        row.wrong("foundation", say("This is missing; write slab, basement, crawl space or other."))
        return
    stands = cells.foundation(values["foundation"])
    if isinstance(stands, Said):
        row.wrong("foundation", stands)
    else:
        row.foundation = stands


def _read_house(row: LotRow, values: dict[str, str]) -> None:
    if values["siding"]:
        status = cells.siding(values["siding"])
        if isinstance(status, Said):
            row.wrong("siding", status)
        else:
            row.siding = status
    if values["plan"]:
        _read_plan(row, values)
    else:
        _read_feet(row, values)


def _read_plan(row: LotRow, values: dict[str, str]) -> None:
    told = _MIRRORED.fullmatch(values["plan"])
    row.plan = told["plan"] if told else values["plan"]
    flipped = cells.yes(values["mirrored"])
    if isinstance(flipped, Said):
        row.wrong("mirrored", flipped)
    else:
        row.mirrored = flipped or told is not None
    beside = [key for key in HOUSE_COLUMNS if values[key]]
    if beside:
        row.wrong("plan", say(
            "A row names a plan or gives feet, not both: {read} is named, and {column} is {other}.",
            read=quoted(values["plan"]), column=BY_KEY[beside[0]].label, other=quoted(values[beside[0]]),
        ))  # fmt: skip


def _read_feet(row: LotRow, values: dict[str, str]) -> None:
    before = len(row.problems)
    if not values["siding"]:
        row.wrong("siding", say("This is missing; write open, wrapped or sided."))
    outline = _outline(row, values)
    interior = _length(row, "interior", values, zero=True)
    alike = cells.stories(values["stories"])
    if isinstance(alike, Said):
        row.wrong("stories", alike)
    if outline and outline["by"] == "measured" and not values["interior"]:
        row.wrong("interior", say("This is missing; write 0 where there are no interior walls."))
    if outline is None or not row.siding or isinstance(alike, Said) or len(row.problems) > before:
        return
    inside = {"by": "measured", "length": interior} if values["interior"] else {"by": "ratio"}
    level = {"name": "Main floor" if alike == 1 else "Every story", "outline": outline, "interior": inside,
             "siding": row.siding, "repeat": str(alike)}  # fmt: skip
    row.house = {"name": row.texts["lot"] or "House", "levels": [level]}


def _outline(row: LotRow, values: dict[str, str]) -> dict[str, Any] | None:
    sides = [key for key in ("width", "depth") if values[key]]
    if not values["exterior"] and not sides:
        row.wrong("plan", say(
            "There is no house in this row: name a house plan, or give exterior and interior feet, or a "
            "width and a depth."
        ))  # fmt: skip
        return None
    if values["exterior"] and sides:
        row.wrong("exterior", say(
            "Give exterior feet or a width and a depth, not both: {read} and {other}.",
            read=quoted(values["exterior"]), other=quoted(values[sides[0]]),
        ))  # fmt: skip
        return None
    if values["exterior"]:
        return {"by": "measured", "length": _length(row, "exterior", values)}
    for key in ("width", "depth"):
        if not values[key]:
            row.wrong(key, say("This is missing: a width and a depth go together."))
    width, depth = _length(row, "width", values), _length(row, "depth", values)
    return {"by": "rectangles", "rectangles": [{"west": "0", "south": "0", "width": width, "depth": depth}]}


def _length(row: LotRow, column: str, values: dict[str, str], *, zero: bool = False) -> str:
    found = cells.length(values[column], zero=zero) if values[column] else ""
    if isinstance(found, Said):
        row.wrong(column, found)
        return ""
    return found
