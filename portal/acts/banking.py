"""Lists of a bank's: read, their columns named, their lines kept, each once. Nothing is booked by itself."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.bank import cells
from portal.core.bank.columns import BY_KEY, NOT_USED, guessed, knows, naming_problems
from portal.core.bank.lines import MOST_LINES, MOST_PROBLEMS, Line, Reading, read_lines
from portal.core.errors import Problem, refuse
from portal.core.sheets.columns import bare
from portal.core.sheets.table import table_of
from portal.core.words import say
from portal.store import bank
from portal.store.transaction import Work

#: A bank may write its own name and the account above the headers.
ABOVE = 12
SAMPLES = 5
NONE = say("There is no line below the names of the columns.")


@dataclass(frozen=True, slots=True)
class BankListView:
    """A list as its pages show it. `counts` are lines by state; `before` were here already."""

    id: str
    name: str
    state: str
    made_by: str
    made_at: datetime
    headers: tuple[str, ...]
    naming: tuple[str, ...]
    days: str
    decimal: str
    before: int
    counts: Mapping[str, int]
    rows: int

    def count(self, *states: str) -> int:
        """How many lines are in these states."""
        return sum(self.counts.get(state, 0) for state in states)


def read(parts: Parts, who: Actor, name: str, data: bytes, once_key: str) -> str:
    """Read a list and keep its rows until its columns are named; answers its id. Raises `BadInput`."""
    must_be(who, "office")
    check(text_problems("name", name, 200))
    table = table_of(data, knows, MOST_LINES, NONE, ABOVE)

    def do(work: Work) -> dict[str, Any]:
        headers = list(table.headers)
        naming = guessed(headers, bank.headings(work))
        rows = [(record.line, list(record.cells)) for record in table.records]
        proposed = Reading(naming, "year", "point")
        days = cells.days_proposed(proposed.cell("day", row) for _, row in rows)
        decimal = cells.decimal_proposed(
            proposed.cell(key, row) for _, row in rows for key in ("amount", "in", "out")
        )
        found = bank.add_list(
            work, name=name.strip() or "CSV", encoding=table.encoding, headers=headers, naming=naming,
            days=days, decimal=decimal, rows=rows, state="naming", made_by_name=who.name,
        )  # fmt: skip
        return {"list": found.id}

    said = {"name": name, "sha256": hashlib.sha256(data).hexdigest()}
    return str(once(parts, who, "bank list", once_key, do, said)["list"])


@dataclass(frozen=True, slots=True)
class Preview:
    """A list whose columns are to be named, some of its rows, and how its first lines would be read."""

    list: BankListView
    samples: tuple[tuple[str, ...], ...]
    lines: tuple[Line, ...]
    problems: tuple[Problem, ...]


def preview(parts: Parts, who: Actor, list_id: str, reading: Reading | None = None) -> Preview:
    """How the list would be read: as it was named so far, or as `reading` has it."""
    must_be(who, "office")
    with parts.store.reading() as work:
        found = bank.bank_list(work, list_id)
        reading = reading or Reading(found.naming, found.days, found.decimal)
        rows = [(line, row) for line, row in found.rows]
        lines, problems = read_lines(rows, reading)
        return Preview(_view(work, found), tuple(tuple(row) for _, row in rows[:SAMPLES]),
                       tuple(lines[:SAMPLES]), tuple(problems[:MOST_PROBLEMS]))  # fmt: skip


def name_columns(
    parts: Parts, who: Actor, list_id: str, naming: Sequence[str], days: str, decimal: str
) -> None:
    """Say what each column is and how days and amounts are written; then keep every line that is new.

    A line that is here already, from this list or another, is left out. The names are remembered. Raises
    `BadInput` where a line cannot be read: a line left out in silence would be money that nobody looks for.
    """
    must_be(who, "office")
    with parts.store.writing() as work:
        found = bank.locked(work, list_id)
        if found.state != "naming":
            raise refuse("This list was read already. To read it otherwise, send it again.")
        named = [key if key in BY_KEY else NOT_USED for key in naming][: len(found.headers)]
        named += [NOT_USED] * (len(found.headers) - len(named))
        chosen = [Problem(at, say("Choose how they are written."))
                  for at, value, known in (("days", days, cells.DAYS), ("decimal", decimal, cells.DECIMALS))
                  if value not in known]  # fmt: skip
        check(naming_problems(found.headers, named), chosen)
        lines, problems = read_lines([(line, row) for line, row in found.rows], Reading(named, days, decimal))
        check(problems[:MOST_PROBLEMS])
        bank.remember(work, {
            bare(header): column for header, column in zip(found.headers, named, strict=True) if bare(header)
        })  # fmt: skip
        there = bank.marks_there(work, [line.mark for line in lines])
        bank.add_lines(work, found.id, [line for line in lines if line.mark not in there])
        found.naming, found.days, found.decimal = named, days, decimal
        found.before, found.state, found.rows = len(there), "read", []
        note(work, who, "bank list", found.name, lines=len(lines) - len(there), before=len(there))


def drop(parts: Parts, who: Actor, list_id: str) -> None:
    """Throw a list away that was read wrong, as long as nothing was decided of its lines."""
    must_be(who, "office")
    with parts.store.writing() as work:
        found = bank.locked(work, list_id)
        if {"taken", "aside"} & bank.counts(work, [found.id])[found.id].keys():
            raise refuse("Something of this list was decided already, so it stays.")
        bank.drop(work, found)
        note(work, who, "bank list dropped", found.name)


def newest(parts: Parts, who: Actor) -> tuple[BankListView, ...]:
    """The last lists."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return tuple(_view(work, one) for one in bank.lists(work))


def view(work: Work, list_id: str) -> BankListView:
    """A list as its pages show it. Raises `NotFound`."""
    return _view(work, bank.bank_list(work, list_id))


def _view(work: Work, found: Any) -> BankListView:
    counts = bank.counts(work, [found.id])[found.id]
    return BankListView(
        found.id, found.name, found.state, found.made_by_name, found.made_at, tuple(found.headers),
        tuple(found.naming), found.days, found.decimal, found.before, counts,
        len(found.rows) or sum(counts.values()),
    )  # fmt: skip
