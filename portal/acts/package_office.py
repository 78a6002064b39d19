"""The office takes up, approves and sends the quotes of a package's lots in one press each.

One transaction a press: every lot is judged by itself, and what cannot be done is said by lot while the rest
is done whole. The builder gets one letter for all that was sent.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from portal.acts.cover import make_cover
from portal.acts.package_state import held, must_be_seen
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.pooling import Around, around
from portal.acts.quoting import approve_in, send_in, start_in
from portal.acts.trail import mail_builder, once
from portal.core.documents import PackageDocument
from portal.core.errors import BadInput, Refused
from portal.core.words import Said, say
from portal.store.transaction import Work

#: What a press does to lots of which stage, and what it says of those that stand before it.
NOT_YET = {
    "start": {},
    "approve": {"asked": say("The quote is not started yet.")},
    "send": {"asked": say("The quote is not started yet."), "to check": say("It is not approved yet.")},
}
#: What is approved can be approved once more: another lot of the package may have changed since.
TAKES = {"start": ("asked",), "approve": ("to check", "approved"), "send": ("approved",)}


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many lots a press was done to, and of which lots it could not be, with the reason."""

    done: int
    left: tuple[tuple[str, Said], ...]


def press(
    parts: Parts, who: Actor, package_id: str, what: str, seen: str, once_key: str, reason: str = ""
) -> Outcome:
    """Start, approve or send what can be of a package, as it was `seen`.

    `reason` is an owner's, for the lots that are approved under the margin floor.
    """
    must_be(who, "office")

    def do(work: Work) -> dict[str, Any]:
        row, lots = held(work, who, package_id)
        must_be_seen(row, lots, seen)
        beside = around(parts, work, row.id)
        sent: list[Any] = []
        act = partial(approve_in, reason=reason) if what == "approve" else _ACTS[what]
        left = [said for lot in lots if (said := _judged(parts, work, who, lot, what, act, beside, sent))]
        if sent and what == "send":
            _tell(parts, work, row, make_cover(parts, work, who, row, lots))
        return {"done": len(sent), "left": left}

    said = {"seen": seen, "reason": reason} if reason else {"seen": seen}
    answer = once(parts, who, f"{what} {package_id}", once_key, do, said)
    return Outcome(answer["done"], tuple((lot, Said(text, values)) for lot, text, values in answer["left"]))


Act = Callable[[Parts, Work, Actor, Any, Around], Any]
_ACTS: dict[str, Act] = {
    "start": lambda parts, work, who, lot, beside: start_in(parts, work, who, lot),
    "send": send_in,
}


def _judged(
    parts: Parts, work: Work, who: Actor, lot: Any, what: str, act: Act, beside: Around, done: list[Any]
) -> list[Any] | None:  # fmt: skip
    """Do it to one lot; or the lot's name and why it cannot be, as plain data."""
    if lot.stage in NOT_YET[what]:
        return _plainly(lot, NOT_YET[what][lot.stage])
    if lot.stage not in TAKES[what]:
        return None
    try:
        act(parts, work, who, lot, beside)
    except Refused as refused:
        return _plainly(lot, refused.says)
    except BadInput as bad:
        return _plainly(lot, bad.problems[0].says)
    done.append(lot)
    return None


def _plainly(lot: Any, says: Said) -> list[Any]:
    return [lot.name, says.template, {key: str(value) for key, value in says.values.items()}]


def _tell(parts: Parts, work: Work, row: Any, cover: PackageDocument) -> None:
    mail_builder(
        parts, work, "package_sent", row.company_id, package=row.number, title=row.name,
        lots=[(f"{one.place.lot}, {one.place.address}", one.quote, one.total) for one in cover.lots],
        total=cover.total, currency=cover.currency, expires_on=min(one.expires_on for one in cover.lots),
        office=cover.office, link=parts.links.builder_package(row.id),
    )  # fmt: skip
