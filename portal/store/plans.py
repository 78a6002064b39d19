"""Finds and adds house plans and their editions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm.attributes import flag_modified

from portal.core.errors import NotFound
from portal.store.tables import HousePlan, Lot, PlanEdition
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


def touch(work: Work, plan: HousePlan, by: str) -> None:
    """Mark the plan changed now, by whom: its version goes up whatever it was that changed."""
    plan.changed_at, plan.changed_by = work.now, by
    flag_modified(plan, "changed_at")
    work.session.flush()


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


def edition(work: Work, plan_id: str, number: int) -> PlanEdition:
    """One edition of a plan, by its number. Raises `NotFound`."""
    # Looked up among the few there are: a number out of an address may be longer than a column takes.
    found = next((row for row in editions(work, plan_id) if row.number == number), None)
    if found is None:
        raise NotFound("edition of the plan", number)
    return found


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


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan with its newest edition, and how many lots were made from any of its editions."""

    plan: HousePlan
    edition: PlanEdition
    lots: int


def kept(work: Work, company_id: str) -> list[KeptPlan]:
    """All plans of a builder by name, the retired ones too."""
    newest = select(PlanEdition.plan_id, func.max(PlanEdition.number).label("number"))
    last = newest.group_by(PlanEdition.plan_id).subquery()
    query = (
        select(HousePlan, PlanEdition)
        .join(last, last.c.plan_id == HousePlan.id)
        .join(PlanEdition, (PlanEdition.plan_id == HousePlan.id) & (PlanEdition.number == last.c.number))
        .where(HousePlan.company_id == company_id)
        .order_by(HousePlan.name_key)
    )
    counts = lots_by_plan(work, company_id)
    return [KeptPlan(plan, edition, counts.get(plan.id, 0)) for plan, edition in work.session.execute(query)]


def lots_by_plan(work: Work, company_id: str) -> dict[str, int]:
    """How many lots of a builder were made from each plan."""
    query = (
        select(PlanEdition.plan_id, func.count())
        .join(Lot, Lot.plan_edition_id == PlanEdition.id)
        .where(Lot.company_id == company_id)
        .group_by(PlanEdition.plan_id)
    )
    return {str(row.plan_id): row[1] for row in work.session.execute(query)}


def lots_of(work: Work, plan_id: str) -> list[tuple[Lot, int]]:
    """The lots made from a plan, the newest first, each with the number of its edition."""
    query = (
        select(Lot, PlanEdition.number)
        .join(PlanEdition, PlanEdition.id == Lot.plan_edition_id)
        .where(PlanEdition.plan_id == plan_id)
        .order_by(Lot.created_at.desc(), Lot.id)
    )
    return [(lot, number) for lot, number in work.session.execute(query)]


def origin(work: Work, edition_id: str) -> tuple[HousePlan, PlanEdition]:
    """The plan and the edition that a lot was made from. Raises `NotFound`."""
    query = (
        select(HousePlan, PlanEdition)
        .join(PlanEdition, PlanEdition.plan_id == HousePlan.id)
        .where(PlanEdition.id == edition_id)
    )
    found = work.session.execute(query).one_or_none()
    if found is None:
        raise NotFound("edition of the plan", edition_id)
    return found[0], found[1]
