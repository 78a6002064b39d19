"""A builder's papers, by subdivision and by lot, and a ZIP of them."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from portal.acts.desk import LotPage, list_lots
from portal.acts.papers import PaperFile, PaperRow, cover, paper, papers_of_lots
from portal.acts.parts import Actor, Parts, has, must_be
from portal.core.bundle.names import Names, safe_name
from portal.core.bundle.zipped import Packed, zipped
from portal.core.errors import NotFound
from portal.core.sheets.written import csv_file
from portal.store import packages
from portal.store.reads import LotFilter, LotRow

INDEX = ("file", "subdivision", "lot", "address", "paper", "number", "day", "bytes", "sha256")


@dataclass(frozen=True, slots=True)
class Shelf:
    """The lots of one subdivision that have papers, what changed last on top."""

    subdivision: str
    lots: tuple[tuple[LotRow, tuple[PaperRow, ...]], ...]


@dataclass(frozen=True, slots=True)
class CoverRow:
    """The cover of a package."""

    package_id: str
    number: str
    name: str
    issue: int
    day: date


@dataclass(frozen=True, slots=True)
class Shelves:
    """A page of them. `more` is the filter of the next page; covers of packages stand on the first, if all
    is asked for."""

    shelves: tuple[Shelf, ...]
    covers: tuple[CoverRow, ...]
    more: LotFilter | None
    subdivisions: tuple[str, ...]
    shows_money: bool

    @property
    def count(self) -> int:
        """How many papers there are on this page."""
        return len(self.covers) + sum(len(papers) for shelf in self.shelves for _, papers in shelf.lots)


def shelves(parts: Parts, who: Actor, which: LotFilter) -> Shelves:
    """The papers of those lots that have any, a page of lots at a time."""
    must_be(who, "builder")
    page = list_lots(parts, who, replace(which, quoted=True))
    papers = papers_of_lots(parts, who, tuple(row.id for row in page.rows))
    by_name: dict[str, list[tuple[LotRow, tuple[PaperRow, ...]]]] = {}
    for row in page.rows:
        by_name.setdefault(row.subdivision, []).append((row, papers.get(row.id, ())))
    found = tuple(Shelf(name, tuple(lots)) for name, lots in by_name.items())
    whole = not (which.subdivision or which.text or which.after)
    return Shelves(found, _covers(parts, who) if whole else (), page.more, page.subdivisions,
                   has(who, "money"))  # fmt: skip


def of_one_lot(parts: Parts, who: Actor, lot_id: str) -> Shelves:
    """The papers of one lot. Raises `NotFound` where it is not this person's, or has none."""
    must_be(who, "builder")
    page: LotPage = list_lots(parts, who, LotFilter(lot_id=lot_id))
    papers = papers_of_lots(parts, who, (lot_id,))
    if not page.rows or not papers:
        raise NotFound("lot", lot_id)
    row = page.rows[0]
    return Shelves((Shelf(row.subdivision, ((row, papers[lot_id]),)),), (), None, (), has(who, "money"))


def _covers(parts: Parts, who: Actor) -> tuple[CoverRow, ...]:
    with parts.store.reading() as work:
        return tuple(
            CoverRow(package.id, package.number, package.name, row.number, _day(parts, row.sent_at))
            for row, package in packages.covers_of_company(work, who.company_id or "")
        )


def _day(parts: Parts, moment: object) -> date:
    return moment.astimezone(parts.zone).date()  # type: ignore[attr-defined,no-any-return]


def zip_of(parts: Parts, who: Actor, found: Shelves) -> Iterator[bytes]:
    """The ZIP of these papers, piece by piece: a paper that nobody opened yet is made on the way.

    Each paper is asked for as if it stood alone, so that a right taken meanwhile ends it. The last file is
    an index with the SHA-256 of each.
    """
    return zipped(_packed(parts, who, found))


def _packed(parts: Parts, who: Actor, found: Shelves) -> Iterator[Packed]:
    index: list[Sequence[str]] = [INDEX]
    for path, day, about, file in _files(parts, who, found):
        sha256 = hashlib.sha256(file.content).hexdigest()
        index.append((path, *about, day.isoformat() if day else "", str(len(file.content)), sha256))
        yield Packed(path, day, file.content)
    yield Packed("index.csv", None, csv_file(index))


def _files(
    parts: Parts, who: Actor, found: Shelves
) -> Iterator[tuple[str, date | None, tuple[str, ...], PaperFile]]:
    names = Names()
    names.one("index.csv")
    for one in found.covers:
        file = cover(parts, who, one.package_id, one.issue)
        path = names.one(f"Packages/{safe_name(file.name, 'package.pdf')}")
        yield path, one.day, ("", one.name, "", "package", f"{one.number} issue {one.issue}"), file
    for shelf in found.shelves:
        place = safe_name(shelf.subdivision, "No subdivision")
        named = Counter(safe_name(row.name, "Lot").casefold() for row, _papers in shelf.lots)
        for row, papers in shelf.lots:
            folder, address = safe_name(row.name, "Lot"), f"{row.house_number} {row.street}"
            if named[folder.casefold()] > 1:  # both get their address, whichever comes first today
                folder = safe_name(f"{folder}, {address}", "Lot")
            folder = names.one(f"{place}/{folder}")
            for wanted in papers:
                file = paper(parts, who, row.id, wanted.kind, wanted.revision)
                about = (shelf.subdivision, row.name, address, wanted.kind, wanted.name)
                yield names.one(f"{folder}/{file.name}"), wanted.day, about, file
