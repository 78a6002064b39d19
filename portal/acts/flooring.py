"""The margin floor: a quote that leaves less is approved by an owner alone, with a reason that is kept."""

from __future__ import annotations

from typing import Any

from portal.acts.parts import Actor
from portal.acts.texts import text_problems
from portal.acts.trail import note
from portal.core.documents import CostDocument, to_stored
from portal.core.errors import BadInput, Problem, refuse
from portal.core.words import say
from portal.store import margins, people
from portal.store.transaction import Work

LONGEST = 500


def owners(work: Work) -> tuple[str, ...]:
    """Who can approve what is under the floor, by name."""
    return tuple(sorted(one.name for one in people.persons(work, kind="office") if one.owner))


def may_approve(work: Work, who: Actor, cost: CostDocument, reason: str) -> None:
    """Raises where a quote is under the floor: `Refused` for all but owners, `BadInput` without a reason."""
    problems = text_problems("reason", reason, LONGEST)
    if problems:
        raise BadInput(problems)
    if not cost.under:
        return
    left = {"percent": str(cost.percent or 0), "floor": f"{cost.floor:f}"}
    if not who.owner:
        raise refuse(
            "It leaves {percent} percent of its price, under the floor of {floor}. An owner can approve it, "
            "with a reason: {owners}.", owners=", ".join(owners(work)), **left,
        )  # fmt: skip
    if not reason.strip():
        raise BadInput([Problem("reason", say(
            "It leaves {percent} percent of its price, under the floor of {floor}. Write why it is approved "
            "all the same.", **left,
        ))])  # fmt: skip


def keep(work: Work, who: Actor, lot: Any, revision: Any, cost: CostDocument, reason: str) -> None:
    """Keep what an approved revision costs; of one under the floor the reason too, in the history."""
    kept = reason.strip() if cost.under else ""
    margins.keep(
        work, revision.id, to_stored(cost), cost.revenue, cost.cost if cost.known else None, kept, who.name
    )
    if kept:
        title = f"{revision.quote.number} rev. {revision.number}"
        # What is given away leaves no part of its price: it has none.
        left = {} if cost.percent is None else {"margin": str(cost.percent)}
        note(work, who, "under the floor", title, lot.id, reason=kept, **left, floor=str(cost.floor))
