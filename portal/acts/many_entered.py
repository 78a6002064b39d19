"""The good rows of a list become lots: a few in each transaction, so that whoever is cut short goes on."""

from __future__ import annotations

from typing import Any

from portal.acts.asking import ask_in
from portal.acts.many import own_list
from portal.acts.many_checked import Here, column_of, house_of, lot_asked, sums
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.rows import actor_of
from portal.acts.trail import mail_office, note
from portal.core.errors import BadInput, NotFound, Problem, Refused, refuse
from portal.core.sheets.kept import kept_problems, row_kept
from portal.core.sheets.rows import LotRow
from portal.core.words import say
from portal.store import doors, lists, packages, people, plans
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
        # Two lists of one builder with the same lots in another order would wait for each other.
        doors.hold(work, "many", found.company_id)
        who = actor_of(people.person(work, found.entered_by or ""))
        rows = lists.rows(work, list_id, ("good",), CHUNK)
        here = Here.of(work, found.company_id, rows)
        package = _package(parts, work, found, len(rows))
        for row in rows:
            _enter(parts, work, who, row, here, package)
        if package is not None:
            packages.touch(work, package)
        if len(rows) == CHUNK:
            return True
        _finish(parts, work, who, found)
        return False


def _package(parts: Parts, work: Work, found: Any, rows: int) -> Any:
    """The package that a list's lots go into: opened with its first, if there are two or more."""
    if found.package_id is None and rows > 1:
        opened = packages.open_package(
            work, found.company_id, found.name, found.entered_by, year=parts.today().year
        )
        found.package_id = opened.id
        return opened
    return packages.package(work, found.package_id) if found.package_id else None


def _enter(parts: Parts, work: Work, who: Actor, row: Any, here: Here, package: Any) -> None:
    """Enter one row, or say why not: somebody was first, or the lot can no longer be asked for so."""
    read = row_kept(row.said)
    here.judge(row, read)
    if read.problems or row.state != "good":
        row.state = "bad" if read.problems else "before"
        row.problems = kept_problems(read.problems)
        return
    assert who.company_id
    taken = lists.claim(work, who.company_id, row.identity, row.content)
    if taken is not None:
        row.state, row.lot_id = "before", taken.lot_id
        return
    try:
        lot = _ask(parts, work, who, row, read)
    except (BadInput, NotFound, Refused) as refused:
        # Nothing was written but the claim: what refuses, refuses before.
        lists.let_go(work, who.company_id, row.identity)
        row.state, row.problems = "bad", kept_problems(_why(refused))
        return
    lists.entered(work, who.company_id, row.identity, lot.id)
    row.state, row.lot_id, row.feet, row.price = "entered", lot.id, lot.feet, lot.price
    if package is not None:
        lot.package_id = package.id


def _ask(parts: Parts, work: Work, who: Actor, row: Any, read: LotRow) -> Any:
    edition_id, house = row.said["edition"], read.house or {}
    if edition_id:
        house = house_of(read, plans.edition_of_company(work, who.company_id or "", edition_id).house)
    return ask_in(parts, work, who, lot_asked(read, house), edition_id, mirrored=read.mirrored, letter=False)


def _why(refused: BadInput | NotFound | Refused) -> list[Problem]:
    if isinstance(refused, BadInput):
        return [Problem(column_of(problem.at), problem.says) for problem in refused.problems]
    return [Problem("", refused.says if isinstance(refused, Refused) else GONE)]


GONE = say("Its house plan is gone.")


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
            feet=feet, link=parts.links.office_today(),
        )  # fmt: skip
