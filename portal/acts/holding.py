"""Whose warranty it is: the first owner, named at closing by the builder or the office."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from portal.acts.lot_state import lot_for, lot_to_change, restage
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.renewal_told import offer_to_next
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.tied_held import follow_house
from portal.acts.trail import note, once
from portal.acts.transferring import mail_holder_link
from portal.core.errors import Problem, refuse
from portal.core.words import say
from portal.store import holders, warranties
from portal.store.transaction import Work

NO_NAME = say("Name the owner: a warranty has one holder at a time.")


@dataclass(frozen=True, slots=True)
class HolderTyped:
    """What is entered of an owner. The mail address may be empty; without it nothing can be mailed."""

    name: str
    email: str
    phone: str
    since: date | None


@dataclass(frozen=True, slots=True)
class HolderRow:
    """A holder, as the builder of the lot and the office see them."""

    name: str
    email: str
    phone: str
    since: date
    until: date | None
    how: str
    made_by: str
    id: str = field(default="", compare=False)


def name_first_owner(parts: Parts, who: Actor, lot_id: str, typed: HolderTyped, once_key: str) -> None:
    """Name the first owner of the house, with the day of closing."""
    must_be(who, "builder", "office")
    email = typed.email.strip()
    check(
        text_problems("name", typed.name, 200, NO_NAME), email_problems(email) if email else [],
        text_problems("phone", typed.phone, 40),
    )  # fmt: skip

    def do(work: Work) -> dict[str, Any]:
        lot = lot_to_change(work, who, lot_id)
        warranty = warranties.warranty_of(work, lot.id)
        if warranty is None:
            raise refuse("There is no warranty yet: the lot is not treated.")
        if warranty.state == "void":
            raise refuse("The warranty is void: it is nobody's to hold.")
        if holders.holders(work, warranty.id):
            raise refuse("The first owner is named already. From owner to owner it goes by a transfer.")
        since = _closing(typed.since, parts.today(), warranties.treated_on(warranty))
        name = typed.name.strip()
        holder = holders.add_holder(
            work, warranty.id, name=name, email=email, phone=typed.phone.strip(), since=since, how="named",
            made_by=who.name,
        )  # fmt: skip
        if email:
            mail_holder_link(parts, work, warranty, holder)
        offer_to_next(parts, work, warranty, holder)
        follow_house(parts, work, who, warranty, None, holder)
        # Not whom: the history is kept for good, a homeowner's name is not.
        note(work, who, "owner named", warranty.number, lot.id, day=since.isoformat())
        restage(work, lot)
        return {}

    said = [typed.name, email, typed.phone, typed.since]
    once(parts, who, f"first owner {lot_id}", once_key, do, said)


def _closing(day: date | None, today: date, treated_on: date) -> date:
    if day is None:
        check([Problem("since", say("Enter the day of closing."))])
    assert day is not None
    if day > today:
        check(
            [
                Problem(
                    "since", say("{day} is still to come: name the owner once the house is theirs.", day=day)
                )
            ]
        )
    if day < treated_on:
        check([Problem("since", say("The house was treated on {day}; it cannot have closed before.",
                                    day=treated_on))])  # fmt: skip
    return day


def holders_of(parts: Parts, who: Actor, lot_id: str) -> tuple[HolderRow, ...]:
    """Every holder of a lot's warranty, in order. The first owner is the builder's own customer; those
    who came after are the office's to know."""
    must_be(who, "builder", "office", "system")
    with parts.store.reading() as work:
        warranty = warranties.warranty_of(work, lot_for(work, who, lot_id).id)
        rows = holders.holders(work, warranty.id) if warranty else []
        return tuple(
            HolderRow(row.name, row.email, row.phone, row.since, row.until, row.how, row.made_by, row.id)
            for row in rows
            if who.kind != "builder" or row.how == "named"
        )
