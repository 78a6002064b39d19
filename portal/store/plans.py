"""Finds and adds house plans and their editions."""

from __future__ import annotations

from typing import Any

from sqlalchemy import func, select

from portal.core.errors import NotFound
from portal.store.tables import HousePlan, PlanEdition
from portal.store.transaction import Work


def name_key(name: str) -> str:
    """A plan's name as names are told apart: whatever its case, and however it is spaced."""
    return " ".join(name.split()).casefold()


def plan(work: Work, company_id: str | None, plan_id: str) -> HousePlan:
    """A plan of this builder, retired or not. Raises `NotFound`, for another's as well."""
    found = work.session.get(HousePlan, plan_id)
    if found is None or found.company_id != company_id:
        raise NotFound("house plan", plan_id)
    return found


def locked(work: Work, company_id: str | None, plan_id: str) -> HousePlan:
    """The same, held against every other writer until this transaction ends."""
    query = select(HousePlan).where(HousePlan.id == plan_id).with_for_update(of=HousePlan)
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None or found.company_id != company_id:
        raise NotFound("house plan", plan_id)
    return found


def plan_named(work: Work, company_id: str, name: str) -> HousePlan | None:
    """The builder's plan of this name that is still offered, whatever the name's case."""
    found = any_named(work, company_id, name)
    return found if found is not None and found.retired_at is None else None


def any_named(work: Work, company_id: str, name: str) -> HousePlan | None:
    """The builder's plan of this name, retired or not."""
    query = select(HousePlan).where(HousePlan.company_id == company_id, HousePlan.name_key == name_key(name))
    return work.session.scalar(query)


def add_plan(work: Work, company_id: str, name: str, person_id: str, by: str) -> HousePlan:
    """A new plan, without an edition yet."""
    row = HousePlan(
        id=work.new_id(), company_id=company_id, name=name, name_key=name_key(name), retired_at=None,
        version=1, changed_at=work.now, changed_by=by, created_at=work.now, created_by=person_id,
    )  # fmt: skip
    work.add(row)
    return row


def add_edition(work: Work, plan_id: str, house: dict[str, Any], note: str, by: str) -> PlanEdition:
    """The next edition of a plan."""
    last = work.session.scalar(select(func.max(PlanEdition.number)).where(PlanEdition.plan_id == plan_id))
    row = PlanEdition(
        id=work.new_id(), plan_id=plan_id, number=(last or 0) + 1, house=house, note=note, entered_by=by,
        entered_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def newest_edition(work: Work, plan_id: str) -> PlanEdition:
    """The plan as it is offered now. Every plan has an edition."""
    query = select(PlanEdition).where(PlanEdition.plan_id == plan_id).order_by(PlanEdition.number.desc())
    found = work.session.scalars(query.limit(1)).first()
    if found is None:
        raise NotFound("edition of the plan", plan_id)
    return found


def editions(work: Work, plan_id: str) -> list[PlanEdition]:
    """All editions of a plan, newest first."""
    query = select(PlanEdition).where(PlanEdition.plan_id == plan_id).order_by(PlanEdition.number.desc())
    return list(work.session.scalars(query))


def edition_of_company(work: Work, company_id: str, edition_id: str) -> PlanEdition:
    """One edition, where its plan is this builder's. Raises `NotFound`."""
    query = (
        select(PlanEdition)
        .join(HousePlan, HousePlan.id == PlanEdition.plan_id)
        .where(PlanEdition.id == edition_id, HousePlan.company_id == company_id)
    )
    found = work.session.scalar(query)
    if found is None:
        raise NotFound("edition of the plan", edition_id)
    return found
