"""The warranty register as frozen rows: found by what each warranty is filed under, page by page, counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, case, func, or_, select, tuple_

from portal.core.cover.filing import code_key
from portal.core.cover.places import plain
from portal.core.journey import ENDS_AS, state_on
from portal.store.tables import (
    Company,
    Lot,
    RecallRecord,
    RegisterContainer,
    RegisterLine,
    Subdivision,
    Warranty,
)
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class RegisterFilter:
    """What of the register is looked at; whatever is empty leaves nothing out.

    `text` is part of an address, lot or builder, `number` a whole warranty number. `technician` is a name or
    a certificate number, `container` a product lot. `since` and `until` are days of treatment. `after` is the
    (treated_on, id) of the last row of the page before.
    """

    text: str = ""
    number: str = ""
    company_id: str = ""
    subdivision: str = ""
    technician: str = ""
    certificate: str = ""
    container: str = ""
    registration: str = ""
    year: int | None = None
    state: str = ""
    since: date | None = None
    until: date | None = None
    after: tuple[date, str] | None = None
    warranty_ids: tuple[str, ...] | None = None
    recall_id: str = ""


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """A warranty in the register."""

    id: str
    number: str
    lot_id: str
    company_id: str
    lot: str
    company: str
    subdivision: str
    house_number: str
    street: str
    town: str
    area: str
    postal_code: str
    technician: str
    certificate: str
    container_lot: str
    registration: str
    treated_on: date
    state: str
    begins_on: date | None
    ends_on: date | None


def _columns(*columns: Any) -> Select[Any]:
    # More columns than the type of a select can name.
    return select(*columns)


def _rows(which: RegisterFilter, today: date) -> Select[Any]:
    query = (
        _columns(
            Warranty.id, Warranty.number, Warranty.lot_id, RegisterLine.company_id, Lot.name, Company.name,
            func.coalesce(Subdivision.name, ""), Lot.house_number, Lot.street, Lot.town, Lot.state,
            Lot.postal_code, RegisterLine.technician, RegisterLine.certificate, RegisterLine.container_lot,
            RegisterLine.registration, RegisterLine.treated_on, Warranty.state, Warranty.begins_on,
            Warranty.ends_on,
        )
        .select_from(RegisterLine)
        .join(Warranty, Warranty.id == RegisterLine.warranty_id)
        .join(Lot, Lot.id == Warranty.lot_id).join(Company, Company.id == RegisterLine.company_id)
        .outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .where(*_filed(which), *_stands(which, today))
    )  # fmt: skip
    return _on_page(query, which)


def _on_page(query: Select[Any], which: RegisterFilter) -> Select[Any]:
    if which.after is not None:
        query = query.where(tuple_(RegisterLine.treated_on, RegisterLine.warranty_id) < which.after)
    return query.order_by(RegisterLine.treated_on.desc(), RegisterLine.warranty_id.desc())


def rows(work: Work, which: RegisterFilter, today: date, limit: int) -> list[RegisterRow]:
    """A page of the register, what was treated last on top, each in its state as of today."""
    # The page is picked out of the register alone; only what stands on it is joined to lot and builder.
    here = _on_page(select(RegisterLine.warranty_id).where(*_filed(which), *_stands(which, today)), which)
    query = _rows(RegisterFilter(), today).where(RegisterLine.warranty_id.in_(here.limit(limit)))
    return [_as_of(row, today) for row in work.session.execute(query)]


def ids(work: Work, filters: Iterable[RegisterFilter]) -> list[str]:
    """The ids of all that fit any of these, once each, what was treated last on top."""
    found: dict[str, date] = {}
    for which in filters:
        query = select(RegisterLine.warranty_id, RegisterLine.treated_on).where(*_filed(which))
        found |= {row[0]: row[1] for row in work.session.execute(query)}
    return sorted(found, key=lambda one: (found[one], one), reverse=True)


def every_row(work: Work, which: RegisterFilter, today: date) -> Iterator[RegisterRow]:
    """All rows that fit, read a thousand at a time."""
    query = _rows(replace(which, after=None), today).execution_options(yield_per=1000)
    for row in work.session.execute(query):
        yield _as_of(row, today)


def _as_of(row: Any, today: date) -> RegisterRow:
    found = RegisterRow(*row)
    return replace(found, state=state_on(found.state, found.ends_on, today))


def _filed(which: RegisterFilter) -> list[ColumnElement[bool]]:
    """What the register line itself decides."""
    line = RegisterLine
    found: list[ColumnElement[bool]] = []
    if which.number:
        found.append(line.warranty_id.in_(select(Warranty.id).where(Warranty.number == which.number)))
    if which.text:
        # % and _ are what a person typed, not wildcards.
        found.append(line.says.contains(which.text.lower(), autoescape=True))
    if which.company_id:
        found.append(line.company_id == which.company_id)
    if which.subdivision:
        found.append(line.subdivision_key == plain(which.subdivision))
    if which.technician:
        by_certificate = line.certificate_key == code_key(which.technician)
        found.append(or_(by_certificate, line.technician_key == plain(which.technician)))
    if which.certificate:
        found.append(line.certificate_key == code_key(which.certificate))
    if which.container:
        used = RegisterContainer.container_key == code_key(which.container)
        found.append(line.warranty_id.in_(select(RegisterContainer.warranty_id).where(used)))
    if which.warranty_ids is not None:
        found.append(line.warranty_id.in_(which.warranty_ids))
    if which.recall_id:
        of_recall = select(RecallRecord.warranty_id).where(RecallRecord.recall_id == which.recall_id)
        found.append(line.warranty_id.in_(of_recall))
    if which.registration:
        found.append(line.registration_key == code_key(which.registration))
    return found + _when(which)


def _when(which: RegisterFilter) -> list[ColumnElement[bool]]:
    line = RegisterLine
    found: list[ColumnElement[bool]] = []
    if which.year is not None:
        found.append(line.treated_on.between(date(which.year, 1, 1), date(which.year, 12, 31)))
    if which.since is not None:
        found.append(line.treated_on >= which.since)
    if which.until is not None:
        found.append(line.treated_on <= which.until)
    return found


def _stands(which: RegisterFilter, today: date) -> list[ColumnElement[bool]]:
    """How the warranty stands: its state as of today, which may have ended by itself."""
    found: list[ColumnElement[bool]] = []
    if which.state:
        begun = [one for one, ends in ENDS_AS.items() if ends == which.state]
        line = RegisterLine
        over = line.ends_on < today
        stands: ColumnElement[bool] = line.state == which.state
        if which.state in ENDS_AS:
            stands = and_(stands, or_(line.ends_on.is_(None), ~over))
        found.append(or_(stands, and_(line.state.in_(begun), over)) if begun else stands)
    return found


@dataclass(frozen=True, slots=True)
class Counts:
    """How many there are of each state, whatever state is looked at; and of each year, whatever year."""

    states: dict[str, int]
    years: dict[int, int]


def counts(work: Work, which: RegisterFilter, today: date) -> Counts:
    """Count what fits, each warranty in its state as of today; years newest first."""
    cells = _cells(work, replace(which, state="", year=None, after=None), today)
    states: Counter[str] = Counter()
    years: Counter[int] = Counter()
    for state, year, count in cells:
        if which.year in (None, year):
            states[state] += count
        if which.state in ("", state):
            years[year] += count
    return Counts(dict(states), dict(sorted(years.items(), reverse=True)))


def _cells(work: Work, which: RegisterFilter, today: date) -> Iterator[tuple[str, int, int]]:
    """How many there are of each state and year together: of the whole register, out of one index."""
    line = RegisterLine
    over = func.sum(case((line.ends_on < today, 1), else_=0))
    query = select(line.state, line.year, func.count(), over).where(*_filed(which))
    for state, year, count, ended in work.session.execute(query.group_by(line.state, line.year)):
        if count > ended:
            yield state, year, count - ended
        if ended:
            yield ENDS_AS.get(state, state), year, ended
