"""Lots put together into a package, and taken out again, as long as nothing of them is sent."""

from __future__ import annotations

from typing import Any

from portal.acts.lot_state import if_own, lot_to_change, restage, speaking_revision
from portal.acts.offering import back_to_check
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.naming import in_order
from portal.core.words import say
from portal.store import packages
from portal.store.transaction import Work

#: The stages in which nothing of a lot's price is out yet.
UNSENT = ("asked", "to check", "approved")
#: A package of more is no longer one job to anybody, nor one page.
MOST_LOTS = 500
NO_NAME = say("Give the package a name: the street, or the phase.")


def put_together(parts: Parts, who: Actor, name: str, lot_ids: tuple[str, ...], once_key: str) -> str:
    """A new package of a builder's own lots that are still with the office; answers its id."""
    must_be(who, "builder")
    few = [] if len(set(lot_ids)) > 1 else [Problem("lots", say("Choose two lots at least."))]
    check(text_problems("name", name, 200, NO_NAME), few, _too_many(lot_ids, 0))

    def do(work: Work) -> dict[str, Any]:
        assert who.company_id and who.person_id
        held = _held(work, who, lot_ids)
        year = parts.today().year
        row = packages.open_package(work, who.company_id, name, who.person_id, year=year)
        for lot in held:
            _put(work, who, lot, row)
        return {"package": row.id}

    said = {"name": name, "lots": sorted(set(lot_ids))}
    return str(once(parts, who, "put together", once_key, do, said)["package"])


def put_in(parts: Parts, who: Actor, package_id: str, lot_ids: tuple[str, ...], once_key: str) -> None:
    """More lots into a package of which nothing was sent yet."""
    must_be(who, "builder")
    check([] if lot_ids else [Problem("lots", say("Choose the lots to put in."))])

    def do(work: Work) -> dict[str, Any]:
        packages.package(work, package_id, company_id=who.company_id)
        held = _held(work, who, lot_ids)
        row = packages.locked(work, package_id)
        inside = packages.lots_in(work, package_id)
        check(_too_many(lot_ids, len(inside)))
        if any(lot.stage not in UNSENT for lot in inside):
            raise refuse("Quotes of this package are out, so it takes no more lots. Make another package.")
        for lot in held:
            _put(work, who, lot, row)
        packages.touch(work, row)
        return {}

    once(parts, who, f"put in {package_id}", once_key, do, sorted(set(lot_ids)))


def take_out(parts: Parts, who: Actor, package_id: str, lot_id: str, version: int) -> None:
    """Take a lot out of its package: it is priced by itself again."""
    must_be(who, "builder", "office")
    check([] if lot_id else [Problem("lot", say("Choose the lot to take out."))])
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        if lot.package_id != package_id:
            raise refuse("This lot is not in this package.")
        if lot.stage not in UNSENT:
            raise refuse("The quote is out, with its price in the package: it cannot be taken out now.")
        row = packages.locked(work, package_id)
        lot.package_id = None
        packages.touch(work, row)
        _judged_anew(work, lot)
        note(work, who, "unpacked", f"{row.number}, {row.name}", lot.id)
        restage(work, lot)


def _too_many(lot_ids: tuple[str, ...], inside: int) -> list[Problem]:
    if len(set(lot_ids)) + inside <= MOST_LOTS:
        return []
    return [Problem("lots", say("A package holds {most} lots at most.", most=MOST_LOTS))]


def _held(work: Work, who: Actor, lot_ids: tuple[str, ...]) -> list[Any]:
    """The lots by their names, held, where all of them can be put into a package."""
    held = [if_own(who, lot) for lot in packages.locked_lots(work, sorted(set(lot_ids)))]
    if len(held) != len(set(lot_ids)):
        raise NotFound("lot")
    problems = [Problem("lots", says) for lot in held if (says := _unfit(lot))]
    if problems:
        raise BadInput(problems)
    return in_order(held, lambda lot: lot.name)


def _unfit(lot: Any) -> Any:
    if lot.package_id is not None:
        return say("{lot} is in a package already: take it out there first.", lot=lot.name)
    if lot.stage not in UNSENT:
        return say("{lot} is no longer with the office: its quote is out.", lot=lot.name)
    return None


def _put(work: Work, who: Actor, lot: Any, row: Any) -> None:
    lot.package_id = row.id
    _judged_anew(work, lot)
    note(work, who, "packed", f"{row.number}, {row.name}", lot.id)
    restage(work, lot)


def _judged_anew(work: Work, lot: Any) -> None:
    """What was approved may have another price now."""
    revision = speaking_revision(work, lot.id)
    if revision is not None and revision.state == "approved":
        back_to_check(revision)
