"""Tax tables as the office enters them: editions by jurisdiction, and for which places each holds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.texts import MISSING, check, text_problems
from portal.acts.trail import note, once
from portal.core.documents import TaxTable
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.money.tax_entered import read_table
from portal.core.words import say
from portal.store import taxes
from portal.store.transaction import Work

KINDS_OF_PLACE = ("default", "town", "subdivision")


@dataclass(frozen=True, slots=True)
class TableView:
    """An edition of a table."""

    number: int
    first_day: date
    made_by: str
    table: TaxTable


@dataclass(frozen=True, slots=True)
class JurisdictionView:
    """A jurisdiction with the editions of its table, newest first, and the one that holds today."""

    id: str
    name: str
    editions: tuple[TableView, ...]
    holds: TableView | None


@dataclass(frozen=True, slots=True)
class PlaceView:
    """A place for which a table is set. `kind` is one of KINDS_OF_PLACE; `builder` is a subdivision's."""

    key: str
    kind: str
    name: str
    builder: str
    jurisdiction: str


@dataclass(frozen=True, slots=True)
class TaxTables:
    """All of them, where they hold, and the subdivisions to choose from: id, name, builder."""

    jurisdictions: tuple[JurisdictionView, ...]
    places: tuple[PlaceView, ...]
    subdivisions: tuple[tuple[str, str, str], ...]


def tax_tables(parts: Parts, who: Actor) -> TaxTables:
    """Every jurisdiction's table, with where it holds."""
    must_be(who, "office")
    with parts.store.reading() as work:
        editions = taxes.editions(work)
        found = tuple(
            _jurisdiction(row, [e for e in editions if e.jurisdiction_id == row.id], parts.today())
            for row in taxes.jurisdictions(work)
        )
        subdivisions = taxes.subdivisions(work)
        builders = {one[0]: one[2] for one in subdivisions}
        places = tuple(_place(row, builders) for row in taxes.places(work))
    return TaxTables(found, places, tuple(subdivisions))


def _jurisdiction(row: Any, editions: list[Any], today: date) -> JurisdictionView:
    views = tuple(
        TableView(e.number, e.first_day, e.made_by, read_table(e.document, row.name, e.number))
        for e in editions
    )
    come = [one for one in views if one.first_day <= today]
    holds = max(come, key=lambda one: (one.first_day, one.number), default=None)
    return JurisdictionView(row.id, row.name, views, holds)


def _place(row: Any, builders: dict[str, str]) -> PlaceView:
    if row.subdivision is not None:
        builder = builders[row.subdivision_id]
        return PlaceView(row.place_key, "subdivision", row.subdivision.name, builder, row.jurisdiction.name)
    if row.place_key == taxes.DEFAULT:
        return PlaceView(row.place_key, "default", "", "", row.jurisdiction.name)
    return PlaceView(row.place_key, "town", f"{row.town}, {row.state}", "", row.jurisdiction.name)


def enter_table(
    parts: Parts, who: Actor, jurisdiction: str, first_day: date, document: dict[str, Any], once_key: str
) -> int:
    """The next edition of a jurisdiction's table; of one not named before, the first. Answers its number.

    It holds for what is quoted from its first day on. The first jurisdiction of all becomes the default.
    """
    must_be_owner(who)
    name = " ".join(jurisdiction.split())
    check(text_problems("jurisdiction", name, 100, MISSING), _problems_of(document))

    def do(work: Work) -> dict[str, Any]:
        known = taxes.jurisdiction_named(work, name)
        if known and first_day < parts.today():
            too_early = say("An edition begins today or later: quotes already sent keep theirs.")
            raise BadInput([Problem("first_day", too_early)])
        first = known is None and not taxes.jurisdictions(work)
        row = known or taxes.add_jurisdiction(work, name)
        edition = taxes.add_edition(work, row.id, first_day, document, who.name)
        if first:
            taxes.set_place(work, taxes.DEFAULT, row, who.name)
        note(work, who, "tax table", f"{row.name} {edition.number}")
        return {"number": edition.number}

    said = {"jurisdiction": name, "first_day": first_day, "document": document}
    return int(once(parts, who, "tax table", once_key, do, said)["number"])


def _problems_of(document: dict[str, Any]) -> list[Problem]:
    try:
        read_table(document, "", 0)
    except BadInput as bad:
        return list(bad.problems)
    return []


@dataclass(frozen=True, slots=True)
class PlaceSet:
    """For which place a table is to hold: a kind, and the town or the subdivision it asks for."""

    kind: str
    town: str = ""
    state: str = ""
    subdivision_id: str = ""


def set_place(parts: Parts, who: Actor, at: PlaceSet, jurisdiction_id: str) -> None:
    """Have a jurisdiction's table hold for a place, from the next quote on; it is remembered."""
    must_be_owner(who)
    problems = [] if at.kind in KINDS_OF_PLACE else [Problem("kind", say("Choose for which place."))]
    if not jurisdiction_id:
        problems.append(Problem("jurisdiction", say("Choose whose table holds there.")))
    if at.kind == "town":
        problems += text_problems("town", at.town.strip(), 100, MISSING)
        problems += text_problems("state", at.state.strip(), 40, MISSING)
    if at.kind == "subdivision" and not at.subdivision_id:
        problems.append(Problem("subdivision", say("Choose the subdivision.")))
    check(problems)
    with parts.store.writing() as work:
        row = taxes.jurisdiction(work, jurisdiction_id)
        key, place = _key_of(work, at)
        taxes.set_place(work, key, row, who.name, **place)
        note(work, who, "tax place", f"{row.name}: {key}"[:200])


def _key_of(work: Work, at: PlaceSet) -> tuple[str, dict[str, Any]]:
    if at.kind == "default":
        return taxes.DEFAULT, {}
    if at.kind == "town":
        town, state = " ".join(at.town.split()), " ".join(at.state.split())
        return taxes.town_key(state, town), {"town": town, "state": state}
    found = taxes.subdivision(work, at.subdivision_id)
    return taxes.subdivision_key(found.id), {"subdivision_id": found.id}


def drop_place(parts: Parts, who: Actor, key: str) -> None:
    """Have no table of its own hold for a place any more."""
    must_be_owner(who)
    with parts.store.writing() as work:
        row = taxes.place(work, key)
        if row is None:
            raise NotFound("place", key)
        note(work, who, "tax place", f"{key}"[:200], dropped=row.jurisdiction.name)
        taxes.drop_place(work, row)
