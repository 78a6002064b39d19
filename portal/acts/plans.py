"""A builder keeps house plans: makes one, enters its next edition, copies, renames, retires, brings back.

An edition is never edited. What people who work at once must not lose to each other, the name and whether
it is retired, goes by the plan's version, and so does which edition is the next.
"""

from __future__ import annotations

from typing import Any

from portal.acts.estimating import figures_today
from portal.acts.lot_state import lot_for, lot_name
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import MISSING, check, text_problems
from portal.acts.trail import note, once
from portal.core.errors import BadInput, Overtaken, Problem, refuse
from portal.core.takeoff.reading import read_house
from portal.core.words import say
from portal.store import lots, plans
from portal.store.transaction import Work

LONGEST_NAME, LONGEST_NOTE = 200, 1000

House = dict[str, Any]


def make(parts: Parts, who: Actor, name: str, house: House, remark: str, once_key: str) -> str:
    """Keep a new house plan, its first edition in it; answers its id. Raises `BadInput`."""
    must_be(who, "builder")
    check_texts(name, remark)

    def do(work: Work) -> dict[str, Any]:
        return {"plan": _make(parts, work, who, name, house, remark)}

    return str(once(parts, who, "plan", once_key, do, (name, house, remark))["plan"])


def check_texts(name: str, remark: str = "") -> None:
    """Whether a plan may be called so, and its edition be remarked on so. Raises `BadInput`."""
    check(
        text_problems("name", name, LONGEST_NAME, MISSING),
        text_problems("note", remark, LONGEST_NOTE),
    )


def _make(parts: Parts, work: Work, who: Actor, name: str, house: House, remark: str) -> str:
    assert who.company_id and who.person_id
    figures_today(parts, work, house)
    name = " ".join(name.split())
    _must_be_free(work, who, name)
    plan = plans.add_plan(work, who.company_id, name, who.person_id, who.name)
    plans.add_edition(work, plan.id, house | {"name": name}, remark.strip(), who.name)
    note(work, who, "plan made", name)
    return plan.id


def _must_be_free(work: Work, who: Actor, name: str, but: str = "") -> None:
    assert who.company_id
    found = plans.any_named(work, who.company_id, name)
    if found is None or found.id == but:
        return
    says = say("There is a house plan of this name already.")
    if found.retired_at is not None:
        says = say("A retired house plan has this name. Bring that one back, or choose another name.")
    raise BadInput([Problem("name", says)])


def enter_edition(
    parts: Parts, who: Actor, plan_id: str, version: int, house: House, remark: str, once_key: str
) -> int:
    """Enter the next edition of a plan; answers its number. Lots made from an older one keep that."""
    must_be(who, "builder")
    check_texts("-", remark)

    def do(work: Work) -> dict[str, Any]:
        plan = _to_change(work, who, plan_id, version)
        if plan.retired_at is not None:
            raise refuse(
                "{plan} is retired. Bring it back before you enter an edition of it.", plan=plan.name
            )
        figures_today(parts, work, house)
        last = plans.newest_edition(work, plan.id)
        if _same(house, last.house):
            raise refuse("This is edition {number} as it stands: nothing is different.", number=last.number)
        named = house | {"name": plan.name}
        edition = plans.add_edition(work, plan.id, named, remark.strip(), who.name)
        plans.touch(work, plan, who.name)
        note(work, who, "plan edition", plan.name, edition=edition.number)
        return {"edition": edition.number}

    return int(once(parts, who, "plan edition", once_key, do, (plan_id, house, remark))["edition"])


def _same(one: House, other: House) -> bool:
    """Whether two houses are the same down to the names of their stories and what is outside."""
    try:
        return read_house(one).levels == read_house(other).levels
    except BadInput:
        # The one was read just now; it is the other, of long ago, that no engine of today takes.
        return False


def _to_change(work: Work, who: Actor, plan_id: str, version: int) -> Any:
    """The plan, held against other writers. Raises `Overtaken` where it changed since it was looked at."""
    plan = plans.locked(work, who.company_id, plan_id)
    if plan.version != version:
        raise Overtaken("house plan", plan.changed_by)
    return plan


def copy(parts: Parts, who: Actor, plan_id: str, number: int, name: str, once_key: str) -> str:
    """Keep a copy of one edition as a plan of its own; answers its id."""
    must_be(who, "builder")
    check_texts(name)

    def do(work: Work) -> dict[str, Any]:
        plan = plans.plan(work, who.company_id, plan_id)
        edition = plans.edition(work, plan.id, number)
        remark = str(say("Copied from {plan}, edition {number}.", plan=plan.name, number=number))
        return {"plan": _make(parts, work, who, name, edition.house, remark)}

    return str(once(parts, who, "plan copy", once_key, do, (plan_id, number, name))["plan"])


def save_lot(parts: Parts, who: Actor, lot_id: str, name: str, once_key: str) -> str:
    """Keep a lot's takeoff, as it stands, as a new house plan; answers the plan's id."""
    must_be(who, "builder")
    check_texts(name)

    def do(work: Work) -> dict[str, Any]:
        lot = lot_for(work, who, lot_id)
        house = lots.newest_takeoff(work, lot.id).house
        remark = str(say("Kept from the takeoff of {lot}.", lot=lot_name(lot)))
        return {"plan": _make(parts, work, who, name, house, remark)}

    return str(once(parts, who, "plan of lot", once_key, do, (lot_id, name))["plan"])


def rename(parts: Parts, who: Actor, plan_id: str, version: int, name: str, once_key: str) -> None:
    """Give a plan another name. Its editions and the lots made from them stay with it."""
    must_be(who, "builder")
    check_texts(name)

    def do(work: Work) -> dict[str, Any]:
        plan = _to_change(work, who, plan_id, version)
        shown = " ".join(name.split())
        _must_be_free(work, who, shown, but=plan.id)
        before, plan.name, plan.name_key = plan.name, shown, plans.name_key(shown)
        plans.touch(work, plan, who.name)
        note(work, who, "plan renamed", shown, before=before)
        return {"plan": plan.id}

    once(parts, who, "plan rename", once_key, do, (plan_id, name))


def retire(parts: Parts, who: Actor, plan_id: str, version: int, once_key: str) -> None:
    """Offer a plan no more. Lots made from it keep it, and it can be brought back."""
    _offer(parts, who, plan_id, version, once_key, offered=False)


def bring_back(parts: Parts, who: Actor, plan_id: str, version: int, once_key: str) -> None:
    """Offer a retired plan again."""
    _offer(parts, who, plan_id, version, once_key, offered=True)


def _offer(parts: Parts, who: Actor, plan_id: str, version: int, once_key: str, *, offered: bool) -> None:
    must_be(who, "builder")

    def do(work: Work) -> dict[str, Any]:
        plan = _to_change(work, who, plan_id, version)
        plan.retired_at = None if offered else work.now
        plans.touch(work, plan, who.name)
        note(work, who, "plan brought back" if offered else "plan retired", plan.name)
        return {"plan": plan.id}

    once(parts, who, "plan offered" if offered else "plan retired", once_key, do, (plan_id, version))
