"""Finds and adds lots, subdivisions and takeoffs."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import bindparam, func, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm.attributes import flag_modified

from portal.core.errors import NotFound
from portal.store.tables import Job, Lot, Subdivision, Takeoff
from portal.store.transaction import Work


def lot(work: Work, lot_id: str, *, company_id: str | None = None) -> Lot:
    """The lot; with `company_id`, only where it is that company's. Raises `NotFound` either way."""
    found = work.session.get(Lot, lot_id)
    if found is None or (company_id is not None and found.company_id != company_id):
        raise NotFound("lot", lot_id)
    return found


def _held(where: Any) -> Any:
    return select(Lot).where(where).with_for_update(of=Lot).execution_options(populate_existing=True)


_OF_JOB = select(Job.lot_id).where(Job.id == bindparam("job_id")).scalar_subquery()
_LOCKED, _LOCKED_OF_JOB = _held(Lot.id == bindparam("lot_id")), _held(Lot.id == _OF_JOB)


def locked(work: Work, lot_id: str) -> Lot:
    """The lot, held against every other writer until this transaction ends. Raises `NotFound`."""
    found: Lot | None = work.session.scalar(_LOCKED, {"lot_id": lot_id})
    if found is None:
        raise NotFound("lot", lot_id)
    return found


def locked_of_job(work: Work, job_id: str) -> Lot:
    """The lot of a job, held likewise. Raises `NotFound` where there is no such job."""
    found: Lot | None = work.session.scalar(_LOCKED_OF_JOB, {"job_id": job_id})
    if found is None:
        raise NotFound("job", job_id)
    return found


def moment_of(work: Work, lot_id: str) -> datetime:
    """When this lot changes in this transaction: the first of several a microsecond later than the second.

    Lists show what changed last on top, and go on by that moment from page to page: so lots that an act
    takes one after the other stand in its order, and none stands in no order.
    """
    ranks = work.session.info.setdefault("lots in order", {})
    return work.now - timedelta(microseconds=ranks.setdefault(lot_id, len(ranks)))


def touch(work: Work, lot: Lot) -> None:
    """Mark the lot changed now: its version goes up even where nothing that it shows is different."""
    lot.changed_at = moment_of(work, lot.id)
    flag_modified(lot, "changed_at")
    work.session.flush()


_SUBDIVISION = select(Subdivision).where(
    Subdivision.company_id == bindparam("company_id"), func.lower(Subdivision.name) == bindparam("name")
)


def known_subdivision(work: Work, company_id: str, name: str) -> Subdivision | None:
    """The builder's subdivision of this name, whatever its case, where there is one."""
    found: Subdivision | None = work.session.scalar(
        _SUBDIVISION, {"company_id": company_id, "name": name.strip().lower()}
    )
    return found


def subdivision_named(work: Work, company_id: str, name: str) -> Subdivision:
    """The builder's subdivision of this name, whatever its case, made where there was none."""
    asked = {"company_id": company_id, "name": name.strip().lower()}
    found: Subdivision | None = work.session.scalar(_SUBDIVISION, asked)
    if found is None:
        # Two lots of a new subdivision asked for at once both come here; the second waits, then finds it.
        insert = postgresql.insert if work.session.get_bind().dialect.name == "postgresql" else sqlite.insert
        made = insert(Subdivision).values(id=work.new_id(), company_id=company_id, name=name.strip())
        work.session.execute(made.on_conflict_do_nothing())
        found = work.session.scalars(_SUBDIVISION, asked).first()
    assert found is not None
    return found


def subdivisions(work: Work, company_id: str) -> list[str]:
    """Names of a builder's subdivisions."""
    query = select(Subdivision.name).where(Subdivision.company_id == company_id).order_by(Subdivision.name)
    return list(work.session.scalars(query))


def takeoff(work: Work, takeoff_id: str) -> Takeoff:
    """One edition of a takeoff. Raises `NotFound`."""
    found = work.session.get(Takeoff, takeoff_id)
    if found is None:
        raise NotFound("takeoff", takeoff_id)
    return found


_NEWEST_TAKEOFF = (
    select(Takeoff).where(Takeoff.lot_id == bindparam("lot_id")).order_by(Takeoff.edition.desc()).limit(1)
)


def newest_takeoff(work: Work, lot_id: str) -> Takeoff:
    """The takeoff as it stands. Every lot has one."""
    found = work.session.scalar(_NEWEST_TAKEOFF, {"lot_id": lot_id})
    if found is None:
        raise NotFound("takeoff", lot_id)
    return found


_LAST_EDITION = select(func.max(Takeoff.edition)).where(Takeoff.lot_id == bindparam("lot_id"))


def add_takeoff(work: Work, lot_id: str, house: dict[str, Any], estimate: dict[str, Any], by: str) -> Takeoff:
    """The next edition of a lot's takeoff."""
    last = work.session.scalar(_LAST_EDITION, {"lot_id": lot_id}) or 0
    row = Takeoff(
        id=work.new_id(), lot_id=lot_id, edition=last + 1, house=house, estimate=estimate, entered_by=by,
        entered_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row
