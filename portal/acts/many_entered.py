"""The good rows of a list become lots: a few in each transaction, so that whoever is cut short goes on."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from portal.acts.asking import ask_in
from portal.acts.many import own_list
from portal.acts.many_checked import Here, Houses, column_of, house_of, houses_of, lot_asked, sums
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.rows import actor_of
from portal.acts.same_lot import hold_door
from portal.acts.trail import mail_office, note
from portal.core.errors import BadInput, Problem, Refused, refuse
from portal.core.sheets.kept import kept_problems, row_kept
from portal.core.sheets.rows import LotRow
from portal.store import lists, packages, people, plans
from portal.store.transaction import Work

#: Rows in one transaction: a writer beside it waits for so many, and after a cut so many are done again.
CHUNK = 25


def enter(parts: Parts, who: Actor, list_id: str) -> None:
    """Ask for the prices of all good rows. Pressed twice, it is asked once; `go_on` does the work."""
    must_be(who, "builder")
    with parts.store.writing() as work:
        found = own_list(work, who, list_id)
        if found.state in ("entering", "done"):
            return
        if found.state != "looked" or not lists.counts(work, [list_id])[list_id].get("good"):
            raise refuse("There is no row in this list that a price could be asked for.")
        found.state, found.entered_by = "entering", who.person_id
        note(work, who, "asked many", found.name)


def go_on(parts: Parts, list_id: str, chunks: int = 1) -> bool:
    """Enter the next rows of a list; answers whether there are more. Anybody may call it, at any time.

    What is entered is what somebody asked for, in their name. Two that call it at once take turns.
    """
    return all(_next_chunk(parts, list_id) for _ in range(chunks))


def go_on_for(parts: Parts, who: Actor, list_id: str, chunks: int = 1) -> bool:
    """The same, where somebody looks at a list that is not at its end: only the builder's own."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        lists.lot_list(work, list_id, who.company_id)
    return go_on(parts, list_id, chunks)


def go_on_with_all(parts: Parts) -> None:
    """Enter whatever is still to be entered, of every list: the worker's part."""
    with parts.store.reading() as work:
        waiting = lists.being_entered(work)
    for list_id in waiting:
        while go_on(parts, list_id):
            pass


def _next_chunk(parts: Parts, list_id: str) -> bool:
    with parts.store.writing() as work:
        found = lists.locked(work, list_id)
        if found.state != "entering":
            return False
        hold_door(work, found.company_id)
        rows = lists.rows(work, list_id, ("good",), CHUNK)
        chunk = Chunk(parts, work, found, houses_of(parts, work, found.company_id))
        entered = chunk.enter(rows)
        if entered:
            _put_together(parts, work, found, entered, rows)
        if len(rows) == CHUNK:
            return True
        _finish(parts, work, chunk.who, found)
        return False


@dataclass(slots=True)
class Chunk:
    """The rows that are entered in one transaction, in the name of who asked for them."""

    parts: Parts
    work: Work
    found: Any
    houses: Houses
    who: Actor = field(init=False)

    def __post_init__(self) -> None:
        self.who = actor_of(people.person(self.work, self.found.entered_by or ""))

    def enter(self, rows: list[Any]) -> list[Any]:
        """Enter what is not here yet; answers the lots. What became of each row is kept with all of them."""
        here = Here.of(self.work, self.found.company_id, rows)
        became = [(row, self._enter(row, here)) for row in rows]
        for row, (state, lot, problems) in became:
            row.state, row.problems = state, kept_problems(problems)
            if lot is not None:
                row.lot_id, row.feet, row.price = lot.id, lot.feet, lot.price
                lists.add_identity(self.work, self.found.company_id, row.identity, row.content, lot.id)
        return [lot for _, (_, lot, _) in became if lot is not None]

    def _enter(self, row: Any, here: Here) -> tuple[str, Any, list[Problem]]:
        """What becomes of a row: its state, its lot, and what is wrong with it."""
        read = row_kept(row.said)
        state = here.judge(row, read)
        if read.problems:
            return "bad", None, read.problems
        if state != "good":
            return state, None, []
        try:
            return "entered", self._ask(row.said["edition"], read), []
        except BadInput as bad:
            return "bad", None, [Problem(column_of(one.at), one.says) for one in bad.problems]
        except Refused as refused:
            return "bad", None, [Problem("", refused.says)]

    def _ask(self, edition_id: str | None, read: LotRow) -> Any:
        house = read.house or {}
        if edition_id:
            edition = plans.edition_of_company(self.work, self.found.company_id, edition_id)
            house = house_of(read, edition.house)
        asked = lot_asked(read, house)
        return ask_in(
            self.parts, self.work, self.who, asked, edition_id, mirrored=read.mirrored, letter=False,
            worked=self.houses.figures(
                asked.house, asked.foundation, asked.subdivision, asked.state, asked.town
            ), judged=True,
        )  # fmt: skip


def _put_together(parts: Parts, work: Work, found: Any, entered: list[Any], rows: list[Any]) -> None:
    """Put lots into the list's package, which is opened with the first of them, if there are more rows."""
    if found.package_id is None:
        if len(rows) < 2:
            return
        year = parts.today().year
        opened = packages.open_package(work, found.company_id, found.name, found.entered_by, year=year)
        found.package_id = opened.id
    package, numbers = packages.package(work, found.package_id), {row.lot_id: row.number for row in rows}
    for lot in entered:
        lot.package_id = package.id
        # In the order of the sheet, whichever rows came in one transaction: see `lots.moment_of`.
        lot.changed_at = package.created_at - timedelta(microseconds=numbers[lot.id])
    packages.touch(work, package)


def _finish(parts: Parts, work: Work, who: Actor, found: Any) -> None:
    """All rows are judged: the office is told once, of all of them."""
    work.session.flush()
    lists.point_at_lots(work, found)
    found.state, found.finished_at = "done", work.now
    count = lists.counts(work, [found.id])[found.id].get("entered", 0)
    if count:
        feet, _price = sums(lists.figures(work, found.id, ("entered",)))
        mail_office(
            parts, work, "asked_many", None, company=who.company, by=who.name, list=found.name, count=count,
            feet=feet, link=_link(parts, work, found),
        )  # fmt: skip


def _link(parts: Parts, work: Work, found: Any) -> str:
    if found.package_id:
        return parts.links.office_package(found.package_id)
    return parts.links.office_lot(lists.rows(work, found.id, ("entered",), 1)[0].lot_id)
