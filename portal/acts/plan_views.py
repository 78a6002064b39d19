"""What a builder's house plans look like: the list, one plan with its editions, what changed, and a start."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.editions import InForce, in_force
from portal.acts.estimating import figures
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.siting import Sites
from portal.core.changes import Change, feet_changes, price_changes
from portal.core.errors import BadInput, refuse
from portal.core.pricing.site import Site
from portal.core.takeoff.mirror import mirrored, same_walls
from portal.core.takeoff.reading import read_house
from portal.store import plans
from portal.store.transaction import Work

House = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A plan in a list. Feet and price are of its newest edition by today's rates; "" where there is none."""

    id: str
    name: str
    edition: int
    feet: str
    price: str
    currency: str
    lots: int
    retired: bool


@dataclass(frozen=True, slots=True)
class EditionView:
    """One edition of a plan."""

    id: str
    number: int
    house: House
    note: str
    entered_by: str
    entered_at: datetime


@dataclass(frozen=True, slots=True)
class LotMade:
    """A lot that was made from a plan."""

    id: str
    name: str
    address: str
    stage: str
    edition: int
    mirrored: bool


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan, whole."""

    id: str
    version: int
    name: str
    retired_at: datetime | None
    editions: tuple[EditionView, ...]
    lots: tuple[LotMade, ...]

    @property
    def newest(self) -> EditionView:
        """The edition that is offered."""
        return self.editions[0]

    def edition(self, number: int | None) -> EditionView | None:
        """The edition of this number; the newest without one; None where there is none."""
        if number is None:
            return self.newest
        return next((edition for edition in self.editions if edition.number == number), None)


@dataclass(frozen=True, slots=True)
class Changed:
    """What changed between two editions: feet, and price by today's rates; None where an estimate fails."""

    feet: tuple[Change, ...]
    price: tuple[Change, ...]
    currency: str


@dataclass(frozen=True, slots=True)
class Start:
    """The edition of a plan that a lot starts from, and its house as it is to be built there."""

    plan_id: str
    plan: str
    edition_id: str
    edition: int
    mirrored: bool
    house: House


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a lot's takeoff came from. `changed`: its walls are no longer those of that edition."""

    plan_id: str
    plan: str
    edition: int
    mirrored: bool
    changed: bool


def list_plans(parts: Parts, who: Actor) -> tuple[PlanRow, ...]:
    """A builder's plans by name, the retired ones among them."""
    must_be(who, "builder")
    assert who.company_id
    with parts.store.reading() as work:
        editions = in_force(work, parts.today())
        site = Sites(work, who.company_id, parts.today()).asked("", "")
        return tuple(_row(kept, editions, site) for kept in plans.kept(work, who.company_id))


def _row(kept: plans.KeptPlan, editions: InForce, site: Site) -> PlanRow:
    feet = price = currency = ""
    try:
        answer = figures(kept.edition.house, editions, site).answer
        feet, price, currency = (
            answer["feet"]["total"],
            answer["price"]["total"],
            answer["price"]["currency"],
        )
    except BadInput:
        # An edition of today may refuse a house that was taken when it was entered; the plan stays.
        pass
    plan = kept.plan
    return PlanRow(
        plan.id, plan.name, kept.edition.number, feet, price, currency, kept.lots, plan.retired_at is not None
    )


def offered(parts: Parts, who: Actor) -> tuple[tuple[str, str], ...]:
    """Id and name of every plan that a lot can be started from."""
    must_be(who, "builder")
    assert who.company_id
    with parts.store.reading() as work:
        found = plans.kept(work, who.company_id)
        return tuple((kept.plan.id, kept.plan.name) for kept in found if kept.plan.retired_at is None)


def plan_view(parts: Parts, who: Actor, plan_id: str) -> PlanView:
    """A plan of this builder's. Raises `NotFound`, for another's as well."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        plan = plans.plan(work, who.company_id, plan_id)
        editions = tuple(
            EditionView(row.id, row.number, row.house, row.note, row.entered_by, row.entered_at)
            for row in plans.editions(work, plan.id)
        )
        made = tuple(
            LotMade(lot.id, lot.name, f"{lot.house_number} {lot.street}", lot.stage, number, lot.mirrored)
            for lot, number in plans.lots_of(work, plan.id)
        )
        return PlanView(plan.id, plan.version, plan.name, plan.retired_at, editions, made)


def changes(parts: Parts, who: Actor, before: House, after: House) -> Changed | None:
    """What changed between two houses, by today's rates; None where one of them cannot be worked out."""
    must_be(who, "builder")
    assert who.company_id
    with parts.store.reading() as work:
        editions = in_force(work, parts.today())
        site = Sites(work, who.company_id, parts.today()).asked("", "")
        try:
            old, new = figures(before, editions, site), figures(after, editions, site)
        except BadInput:
            return None
        feet = feet_changes(read_house(before), read_house(after))
        price = old.answer["price"], new.answer["price"]
        return Changed(feet, price_changes(*price), price[1]["currency"])


def start(
    parts: Parts, who: Actor, plan_id: str, number: int | None = None, *, flipped: bool = False
) -> Start:
    """A plan's newest edition, or the one of this number, to start a lot from; mirrored where asked for so.

    Raises `Refused` where the plan is retired, `BadInput` where the house cannot be mirrored.
    """
    must_be(who, "builder")
    with parts.store.reading() as work:
        plan = plans.plan(work, who.company_id, plan_id)
        if plan.retired_at is not None:
            raise refuse("{plan} is retired and no longer offered. Bring it back first.", plan=plan.name)
        newest = number is None
        edition = plans.newest_edition(work, plan.id) if newest else plans.edition(work, plan.id, number or 0)
        house = mirrored(edition.house) if flipped else edition.house
        return Start(plan.id, plan.name, edition.id, edition.number, flipped, house)


def started_from(parts: Parts, who: Actor, edition_id: str) -> tuple[str, str, int]:
    """Plan's id, plan's name and number of an edition that a form started from. Raises `NotFound`."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        plan, edition = plans.origin(work, edition_id)
        plans.plan(work, who.company_id, plan.id)
        return plan.id, plan.name, edition.number


def origin_of(work: Work, lot: Any, house: House) -> Origin | None:
    """Where a lot was made from, with its house as it stands; None where from no plan."""
    if lot.plan_edition_id is None:
        return None
    plan, edition = plans.origin(work, lot.plan_edition_id)
    try:
        like = mirrored(edition.house) if lot.mirrored else edition.house
        changed = like["levels"] != house["levels"] and not same_walls(like, house)
    except BadInput:
        # A house of long ago that the engine of today does not take: it has certainly moved on since.
        changed = True
    return Origin(plan.id, plan.name, edition.number, lot.mirrored, changed)
