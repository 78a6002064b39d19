"""A builder answers a package: all of it, or lot by lot; each lot exactly by the quote that was seen.

All that was ticked is answered in one transaction, or nothing is: where one lot cannot be, the others wait
until that was looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from portal.acts.deciding import NO_REASON, accept_in, answerable, check_signature, decline_in, must_be_seen
from portal.acts.package_state import package_for
from portal.acts.package_told import tell_accepted, tell_declined, tell_seconders
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.texts import check, text_problems
from portal.acts.trail import once, told_together
from portal.core.errors import BadInput, NotFound, Problem, Refused
from portal.core.naming import in_order
from portal.core.words import say
from portal.store import packages
from portal.store.transaction import Work

NONE_TICKED = say("Tick the lots that you answer for.")


@dataclass(frozen=True, slots=True)
class Seen:
    """A lot that is answered for, and exactly the revision that was seen: its number and fingerprint."""

    lot_id: str
    number: int
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Answered:
    """How many lots are accepted, and how many wait for a second person's yes."""

    accepted: int
    waiting: int


def accept_lots(
    parts: Parts, who: Actor, package_id: str, seen: tuple[Seen, ...], name: str, purchase_order: str,
    once_key: str,
) -> Answered:  # fmt: skip
    """Accept lots of a package. Whether it takes two people is judged by the sum of what is accepted."""
    must_be(who, "builder")
    must_have(who, "accept")
    check([] if seen else [Problem("lots", NONE_TICKED)], _signature_problems(name, purchase_order))

    def do(work: Work) -> dict[str, Any]:
        row, found = _answerable(parts, work, who, package_id, seen)
        amount = sum((revision.total for _, revision in found), Decimal(0))
        with told_together(work, "quote_accepted", "quote_accepted_copy", "second_yes"):
            whole = [_accepted(parts, work, who, pair, name, purchase_order, amount) for pair in found]
        accepted = [pair for pair, done in zip(found, whole, strict=True) if done]
        waiting = [pair for pair, done in zip(found, whole, strict=True) if not done]
        if accepted:
            tell_accepted(parts, work, who, row, accepted, name, purchase_order)
        if waiting:
            tell_seconders(parts, work, who, row, waiting)
        return {"accepted": len(accepted), "waiting": len(waiting)}

    said = {"seen": [asdict(one) for one in seen], "name": name, "purchase_order": purchase_order}
    return Answered(**once(parts, who, f"accept package {package_id}", once_key, do, said))


def decline_lots(
    parts: Parts, who: Actor, package_id: str, seen: tuple[Seen, ...], reason: str, once_key: str
) -> int:
    """Decline lots of a package, with one reason; answers how many."""
    must_be(who, "builder")
    must_have(who, "accept")
    check([] if seen else [Problem("lots", NONE_TICKED)], text_problems("reason", reason, 2000, NO_REASON))

    def do(work: Work) -> dict[str, Any]:
        row, found = _answerable(parts, work, who, package_id, seen)
        with told_together(work, "quote_declined"):
            for lot, revision in found:
                decline_in(parts, work, who, lot, revision, reason)
        tell_declined(parts, work, who, row, found, reason)
        return {"declined": len(found)}

    said = {"seen": [asdict(one) for one in seen], "reason": reason}
    return int(once(parts, who, f"decline package {package_id}", once_key, do, said)["declined"])


def _accepted(
    parts: Parts, work: Work, who: Actor, pair: tuple[Any, Any], name: str, order: str, amount: Decimal
) -> bool:
    """Accept one of them. What is refused is told by lot, and undoes all."""
    lot, revision = pair
    try:
        return accept_in(parts, work, who, lot, revision, name, order, amount=amount)
    except Refused as refused:
        raise BadInput([_of_lot(lot, refused)]) from refused


def _of_lot(lot: Any, refused: Refused) -> Problem:
    return Problem("lots", say("{lot}: {why}", lot=lot.name, why=refused.says))


def _signature_problems(name: str, purchase_order: str) -> list[Problem]:
    return _problems(lambda: check_signature(name, purchase_order))


def _problems(judge: Callable[[], None]) -> list[Problem]:
    try:
        judge()
    except BadInput as bad:
        return list(bad.problems)
    return []


def _answerable(
    parts: Parts, work: Work, who: Actor, package_id: str, seen: tuple[Seen, ...]
) -> tuple[Any, list[tuple[Any, Any]]]:
    """The package, and every lot with the revision that was seen.

    Raises `BadInput` that names each lot which cannot be answered, and why.
    """
    row = package_for(work, who, package_id)
    wanted = {one.lot_id: one for one in seen}
    held = [lot for lot in packages.locked_lots(work, sorted(wanted)) if lot.package_id == row.id]
    if len(held) != len(wanted):
        raise NotFound("lot")
    found, problems = [], []
    for lot in in_order(held, lambda lot: lot.name):
        try:
            found.append(_as_seen(parts, work, who, wanted[lot.id]))
        except Refused as refused:
            problems.append(_of_lot(lot, refused))
    check(problems)
    return row, found


def _as_seen(parts: Parts, work: Work, who: Actor, one: Seen) -> tuple[Any, Any]:
    lot, revision = answerable(parts, work, who, one.lot_id, one.number)
    must_be_seen(revision, one.fingerprint)
    return lot, revision
