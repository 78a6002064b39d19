"""Finds and adds reports of trouble, their steps and photos."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import func, select

from portal.core.errors import NotFound
from portal.store.tables import RegisterContainer, Trouble, TroublePhoto, TroubleStep
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


def listed(work: Work, *, closed: bool) -> list[Trouble]:
    """Open reports, oldest first; or the hundred that were reported last of those closed."""
    if closed:
        query = select(Trouble).where(Trouble.state == "closed").order_by(Trouble.made_at.desc(), Trouble.id)
        return list(work.session.scalars(query.limit(100)))
    query = select(Trouble).where(Trouble.state != "closed").order_by(Trouble.made_at, Trouble.id)
    return list(work.session.scalars(query))


def count_open(work: Work) -> int:
    """How many reports are open."""
    query = select(func.count()).select_from(Trouble).where(Trouble.state != "closed")
    return int(work.session.scalar(query) or 0)


def used_containers(work: Work, warranty_id: str) -> list[str]:
    """The product lots that a warranty's treatment used, as they are filed."""
    query = select(RegisterContainer.container_key).where(RegisterContainer.warranty_id == warranty_id)
    return sorted(work.session.scalars(query))
