"""Many lots at once: a sheet is read and kept, its columns are named, every row is checked and looked at."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.many_checked import check_rows, sums
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import once
from portal.core.errors import NotFound, Problem, refuse
from portal.core.sheets.columns import BY_KEY, FILLABLE, NOT_USED, bare
from portal.core.sheets.kept import problems_kept
from portal.core.sheets.naming import guessed, naming_problems
from portal.core.sheets.table import read_table
from portal.store import lists
from portal.store.transaction import Work

PAGE = 100
#: What can be looked at alone, and the states of rows that it means.
SHOWN = {"": (), "good": ("good",), "mend": ("bad",), "before": ("before",), "entered": ("entered",)}


@dataclass(frozen=True, slots=True)
class ListView:
    """A list as its pages show it. `counts` are rows by state; feet and price of the good and the entered."""

    id: str
    name: str
    state: str
    made_by: str
    made_at: datetime
    finished_at: datetime | None
    encoding: str
    headers: tuple[str, ...]
    naming: tuple[str, ...]
    fill: Mapping[str, str]
    counts: Mapping[str, int]
    feet: str
    price: str
    package_id: str | None

    def count(self, *states: str) -> int:
        """How many rows are in these states."""
        return sum(self.counts.get(state, 0) for state in states)

    @property
    def rows(self) -> int:
        """How many rows it has."""
        return sum(self.counts.values())

    @property
    def asked(self) -> int:
        """Of how many rows prices are asked for: those entered, and those that are still to be."""
        return self.count("good", "entered")


@dataclass(frozen=True, slots=True)
class RowView:
    """A row with its verdict. `said` is the lot as it was read, its house in `said["house"]` or a plan's."""

    number: int
    line: int
    state: str
    said: Mapping[str, Any]
    feet: str
    price: str
    problems: tuple[Problem, ...]
    lot_id: str | None
    same_as: int | None
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Looked:
    """A page of a list's rows. `more`: offset of the next page."""

    list: ListView
    rows: tuple[RowView, ...]
    more: int | None


def read(parts: Parts, who: Actor, name: str, data: bytes, once_key: str) -> str:
    """Read a sheet and keep what was read; answers the list's id. Raises `BadInput`.

    Where every column is known by its name, its rows are checked at once; but where something held for all
    rows of the last sheet with these columns, it is asked whether it still does.
    """
    must_be(who, "builder")
    check(text_problems("name", name, 200))
    table = read_table(data)

    def do(work: Work) -> dict[str, Any]:
        assert who.company_id and who.person_id
        naming = guessed(table.headers, lists.headings(work, who.company_id))
        fill = lists.last_fill(work, who.company_id, table.headers)
        found = lists.add_list(
            work, [(record.line, list(record.cells)) for record in table.records],
            company_id=who.company_id, name=name.strip() or "CSV", encoding=table.encoding,
            delimiter=table.delimiter, headers=list(table.headers), naming=naming, fill=fill, state="naming",
            made_by=who.person_id, made_by_name=who.name,
        )  # fmt: skip
        if not fill and not naming_problems(table.headers, naming, {}):
            _look(parts, work, found)
        return {"list": found.id}

    said = {"name": name, "sha256": hashlib.sha256(data).hexdigest()}
    return str(once(parts, who, "many", once_key, do, said)["list"])


def _look(parts: Parts, work: Work, found: Any) -> None:
    check_rows(parts, work, found)
    found.state = "looked"


def name_columns(
    parts: Parts, who: Actor, list_id: str, naming: Sequence[str], fill: Mapping[str, str]
) -> None:
    """Say what each column is, and what holds for all rows that are silent; then check every row.

    The names are remembered for the next list of this builder's. Raises `BadInput`.
    """
    must_be(who, "builder")
    with parts.store.writing() as work:
        found = _open_list(work, who, list_id)
        named = [key if key in BY_KEY else NOT_USED for key in naming][: len(found.headers)]
        named += [NOT_USED] * (len(found.headers) - len(named))
        said = {key: fill.get(key, "").strip() for key in FILLABLE}
        check(naming_problems(found.headers, named, said), *(
            text_problems(f"fill-{key}", text, BY_KEY[key].limit) for key, text in said.items()
        ))  # fmt: skip
        lists.remember(work, found.company_id, {
            bare(header): column for header, column in zip(found.headers, named, strict=True) if bare(header)
        })  # fmt: skip
        found.naming, found.fill = named, said
        _look(parts, work, found)


def check_again(parts: Parts, who: Actor, list_id: str) -> None:
    """Check every row anew: a house plan was added meanwhile, or a lot was entered elsewhere."""
    must_be(who, "builder")
    with parts.store.writing() as work:
        found = _open_list(work, who, list_id)
        if found.state == "naming":
            raise refuse("First say what each column is.")
        _look(parts, work, found)


def _open_list(work: Work, who: Actor, list_id: str) -> Any:
    """The builder's list, held, as long as nothing of it was asked for."""
    found = own_list(work, who, list_id)
    if found.state in ("entering", "done"):
        raise refuse("These prices are asked for already. To ask for more, send another file.")
    return found


def own_list(work: Work, who: Actor, list_id: str) -> Any:
    """The builder's list, held against every other writer. Another's is not there at all."""
    found = lists.locked(work, list_id)
    if found.company_id != who.company_id:
        raise NotFound("list of lots", list_id)
    return found


def look(parts: Parts, who: Actor, list_id: str, show: str = "", offset: int = 0) -> Looked:
    """A page of rows with their verdicts: all of them, or those of one kind."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        found = lists.lot_list(work, list_id, who.company_id)
        rows = lists.rows(work, list_id, SHOWN.get(show, ()), PAGE + 1, max(0, min(offset, 10_000)))
        more = offset + PAGE if len(rows) > PAGE else None
        return Looked(_view(work, found), tuple(_row(row) for row in rows[:PAGE]), more)


def samples(parts: Parts, who: Actor, list_id: str) -> Looked:
    """The first rows of a list as they stand in it, to name its columns by."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        found = lists.lot_list(work, list_id, who.company_id)
        return Looked(_view(work, found), tuple(_row(row) for row in lists.rows(work, list_id, (), 3)), None)


@dataclass(frozen=True, slots=True)
class Returned:
    """The rows that come back: under which headers, with which delimiter, each with what is wrong in it.

    `fill`: what was said for all rows of their list, and so for these.
    """

    name: str
    headers: tuple[str, ...]
    naming: tuple[str, ...]
    fill: Mapping[str, str]
    delimiter: str
    rows: tuple[RowView, ...]


def returned(parts: Parts, who: Actor, list_id: str) -> Returned:
    """The rows to be mended, in their own columns and order. Raises `Refused` where there is none."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        found = lists.lot_list(work, list_id, who.company_id)
        rows = tuple(_row(row) for row in lists.rows(work, list_id, ("bad",)))
    if not rows:
        raise refuse("There is no row to mend in this list.")
    return Returned(
        found.name, tuple(found.headers), tuple(found.naming), found.fill, found.delimiter, rows
    )  # fmt: skip


def newest(parts: Parts, who: Actor) -> tuple[ListView, ...]:
    """The builder's last lists, whoever of the company sent them."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        found = lists.lists(work, who.company_id or "")
        counted = lists.counts(work, [one.id for one in found])
        return tuple(_shown(one, counted[one.id], ("", "")) for one in found)


def _view(work: Work, found: Any) -> ListView:
    figures = sums(lists.figures(work, found.id, ("good", "entered")))
    return _shown(found, lists.counts(work, [found.id])[found.id], figures)


def _shown(found: Any, counts: dict[str, int], figures: tuple[str, str]) -> ListView:
    return ListView(
        found.id, found.name, found.state, found.made_by_name, found.made_at, found.finished_at,
        found.encoding, tuple(found.headers), tuple(found.naming), found.fill, counts, *figures,
        found.package_id,
    )  # fmt: skip


def _row(row: Any) -> RowView:
    return RowView(
        row.number, row.line, row.state, row.said or {}, row.feet, row.price, problems_kept(row.problems),
        row.lot_id, row.same_as, tuple(row.cells),
    )  # fmt: skip
