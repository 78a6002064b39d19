"""Finds and adds reports of trouble, their steps and photos."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import ColumnElement, and_, func, select
from sqlalchemy.orm import aliased

from portal.core.errors import NotFound
from portal.store.tables import RegisterContainer, RegisterLine, Trouble, TroublePhoto, TroubleStep, Warranty
from portal.store.transaction import Work


def add(work: Work, **values: Any) -> Trouble:
    """A new report, without a step yet."""
    row = Trouble(id=work.new_id(), made_at=work.now, state="reported", decision="", **values)
    work.add(row)
    return row


def trouble(work: Work, trouble_id: str, *, held: bool = False) -> Trouble:
    """A report; `held` against other writers. Raises `NotFound`."""
    query = select(Trouble).where(Trouble.id == trouble_id)
    found = work.session.scalar(query.with_for_update() if held else query)
    if found is None:
        raise NotFound("trouble", trouble_id)
    return found


def add_step(
    work: Work, row: Trouble, kind: str, by: str, words: str, day: date | None = None, person: str = "",
    clauses: tuple[str, ...] = (),
) -> TroubleStep:  # fmt: skip
    """A step of a held report, after all before it; the report's state follows."""
    last = work.session.scalar(select(func.max(TroubleStep.seq)).where(TroubleStep.trouble_id == row.id))
    step = TroubleStep(
        id=work.new_id(), trouble_id=row.id, seq=(last or 0) + 1, kind=kind, at=work.now, by=by, words=words,
        day=day, person=person, clauses=list(clauses),
    )  # fmt: skip
    work.add(step)
    row.state = kind
    return step


def add_photo(work: Work, step: TroubleStep, sha256: str, small_sha256: str) -> None:
    """A photo of a step."""
    work.put(TroublePhoto(
        id=work.new_id(), step_id=step.id, trouble_id=step.trouble_id, sha256=sha256,
        small_sha256=small_sha256,
    ))  # fmt: skip


def steps(work: Work, trouble_id: str) -> list[TroubleStep]:
    """A report's steps, in order."""
    query = select(TroubleStep).where(TroubleStep.trouble_id == trouble_id).order_by(TroubleStep.seq)
    return list(work.session.scalars(query))


def photos(work: Work, trouble_id: str) -> list[TroublePhoto]:
    """A report's photos."""
    query = select(TroublePhoto).where(TroublePhoto.trouble_id == trouble_id).order_by(TroublePhoto.id)
    return list(work.session.scalars(query))


def photo(work: Work, trouble_id: str, photo_id: str) -> TroublePhoto:
    """One photo of a report. Raises `NotFound`."""
    found = work.session.get(TroublePhoto, photo_id)
    if found is None or found.trouble_id != trouble_id:
        raise NotFound("photo", photo_id)
    return found


def of_retreatment(work: Work, lot_id: str) -> Trouble | None:
    """The report, held, whose re-treatment this lot is."""
    query = select(Trouble).where(Trouble.retreat_lot_id == lot_id)
    found: Trouble | None = work.session.scalar(query.with_for_update())
    return found


def listed(work: Work, *, closed: bool) -> list[tuple[Trouble, Warranty]]:
    """Open reports, oldest first; or the hundred that were reported last of those closed; each with its
    warranty."""
    query = select(Trouble, Warranty).join(Warranty, Warranty.id == Trouble.warranty_id)
    if closed:
        query = query.where(Trouble.state == "closed").order_by(Trouble.made_at.desc(), Trouble.id).limit(100)
    else:
        query = query.where(Trouble.state != "closed").order_by(Trouble.made_at, Trouble.id)
    return [(row[0], row[1]) for row in work.session.execute(query)]


def of_warranty(work: Work, warranty_id: str) -> list[Trouble]:
    """All reports under a warranty, the newest first."""
    query = select(Trouble).where(Trouble.warranty_id == warranty_id)
    return list(work.session.scalars(query.order_by(Trouble.made_at.desc(), Trouble.id)))


def count_open(work: Work) -> int:
    """How many reports are open."""
    query = select(func.count()).select_from(Trouble).where(Trouble.state != "closed")
    return int(work.session.scalar(query) or 0)


def same_product(work: Work, warranty_ids: Iterable[str]) -> dict[str, int]:
    """How many other houses were treated out of a product lot that each of these was, by the warranty."""
    own, other = aliased(RegisterContainer), aliased(RegisterContainer)
    query = (
        select(own.warranty_id, func.count(other.warranty_id.distinct()))
        .join(other, and_(other.container_key == own.container_key, other.warranty_id != own.warranty_id))
        .where(own.warranty_id.in_(list(warranty_ids))).group_by(own.warranty_id)
    )  # fmt: skip
    return {row[0]: row[1] for row in work.session.execute(query)}


def same_day(work: Work, warranty_ids: Iterable[str]) -> dict[str, int]:
    """How many other houses the same technician treated on the day of each of these, by the warranty."""
    own, other = aliased(RegisterLine), aliased(RegisterLine)
    query = (
        select(own.warranty_id, func.count(other.warranty_id)).join(other, _of_that_day(own, other))
        .where(own.warranty_id.in_(list(warranty_ids))).group_by(own.warranty_id)
    )  # fmt: skip
    return {row[0]: row[1] for row in work.session.execute(query)}


def _of_that_day(own: Any, other: Any) -> ColumnElement[bool]:
    return and_(
        own.technician_key != "", other.technician_key == own.technician_key,
        other.treated_on == own.treated_on, other.warranty_id != own.warranty_id,
    )  # fmt: skip


def beside(work: Work, warranty_id: str, most: int) -> tuple[list[str], list[str]]:
    """Those other houses of one: of its product lots, and of that technician's day; by their warranties, at
    most so many of each, what was treated last on top."""
    line = aliased(RegisterLine)
    used = select(RegisterContainer.container_key).where(RegisterContainer.warranty_id == warranty_id)
    treated = select(RegisterContainer.warranty_id).where(RegisterContainer.container_key.in_(used))
    own = aliased(RegisterLine)
    product = select(line.warranty_id).where(
        line.warranty_id.in_(treated), line.warranty_id != warranty_id
    )  # fmt: skip
    day = select(line.warranty_id).join(own, _of_that_day(own, line)).where(own.warranty_id == warranty_id)
    latest = line.treated_on.desc(), line.warranty_id.desc()
    found = [list(work.session.scalars(query.order_by(*latest).limit(most))) for query in (product, day)]
    return found[0], found[1]


def used_containers(work: Work, warranty_id: str) -> list[str]:
    """The product lots that a warranty's treatment used, as they are filed."""
    query = select(RegisterContainer.container_key).where(RegisterContainer.warranty_id == warranty_id)
    return sorted(work.session.scalars(query))
