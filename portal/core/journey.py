"""The states of quote, job, invoice and warranty, and the only moves between them.

The words are the ones people read; a stage of a lot is derived from the four,
never set by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from portal.core.errors import refuse

Moves = Mapping[str, frozenset[str]]

QUOTE: Moves = {
    "to check": frozenset({"approved", "superseded"}),
    "approved": frozenset({"to check", "sent", "superseded"}),
    "sent": frozenset({"accepted", "declined", "lapsed", "superseded"}),
    "lapsed": frozenset({"superseded"}),
    "declined": frozenset({"superseded"}),
    "accepted": frozenset(),
    "superseded": frozenset(),
}

JOB: Moves = {
    "unscheduled": frozenset({"booked", "called off"}),
    "booked": frozenset({"booked", "unscheduled", "on site", "called off"}),
    "on site": frozenset({"treated", "booked", "unscheduled", "called off"}),
    "treated": frozenset({"signed off"}),
    "signed off": frozenset(),
    "called off": frozenset({"unscheduled"}),
}

#: An invoice's state follows its postings, in any direction: a check that bounced opens what was paid.
_BY_POSTINGS = ("issued", "part paid", "paid", "credited", "written off")
INVOICE: Moves = dict.fromkeys(_BY_POSTINGS, frozenset(_BY_POSTINGS))

#: The states in which something is owed.
OWING = ("issued", "part paid")

WARRANTY: Moves = {
    "held": frozenset({"in force", "void"}),
    "in force": frozenset({"expired", "void"}),
    "expired": frozenset({"in force"}),  # renewed within the days that its terms leave for it
    "void": frozenset(),
}

#: Every stage a lot can be shown in, in the order a lot goes through them.
STAGES = (
    "asked", "to check", "approved", "sent", "declined", "lapsed", "accepted", "booked",
    "on site", "treated", "part paid", "paid", "in force", "expired", "void",
)  # fmt: skip

#: The stages in which no treatment is booked yet, and those of them whose price holds or is to come.
UNBOOKED = frozenset({"asked", "to check", "approved", "sent", "declined", "lapsed", "accepted"})
WAITING = UNBOOKED - {"declined", "lapsed"}
UNTREATED = UNBOOKED | {"booked", "on site"}

#: The stages that end by themselves, and as what, the day after the last on which they hold.
ENDS_AS = {"sent": "lapsed", "in force": "expired"}

#: What is billed, part paid or paid is one thing to somebody who does not see money: treated.
MONEY_APART = "treated, money apart"
TELLS_OF_MONEY = frozenset({"treated", "part paid", "paid"})

#: The five sheets of a lot, and the first stage in which each is done.
SHEETS = ("takeoff", "quote", "treatment", "invoice", "warranty")


def move(moves: Moves, now: str, to: str) -> str:
    """The state after a move. Raises `Refused` when there is no such move."""
    if to not in moves[now]:
        raise refuse("It is {now}, so it cannot become {to}.", now=now, to=to)
    return to


def stage_of(quote: str | None, job: str | None, invoice: str | None, warranty: str | None) -> str:
    """The one word that says how far a lot has come.

    Each argument is a state of that record, or None while there is none. The
    furthest record speaks for the lot, except that a paid lot whose warranty is
    still held says *paid*.
    """
    if warranty in ("in force", "expired", "void"):
        return warranty
    if invoice in ("part paid", "paid"):
        return invoice
    if invoice is not None or job in ("treated", "signed off"):
        return "treated"  # of a package's lots the invoice may still be to come
    if job in ("booked", "on site"):
        return job
    if quote in ("superseded", None):
        return "asked"
    return quote


def state_on(state: str, holds_until: date | None, today: date) -> str:
    """The state, or stage, as of a day: the worker that writes it down may not have come by yet."""
    if state in ENDS_AS and holds_until is not None and today > holds_until:
        return ENDS_AS[state]
    return state


def money_apart(stage: str) -> str:
    """The stage as it is shown to somebody who does not see money."""
    return MONEY_APART if stage in TELLS_OF_MONEY else stage  # and what is apart already stays so


def sheet_states(stage: str) -> tuple[str, ...]:
    """For each of the five sheets: done, now, next or ahead."""
    done = {
        "asked": 0, "to check": 1, "approved": 1, "sent": 1, "declined": 1, "lapsed": 1,
        "accepted": 2, "booked": 2, "on site": 2, "treated": 3, "part paid": 3,
        MONEY_APART: 3,
        "paid": 4, "in force": 5, "expired": 5, "void": 5,
    }[stage]  # fmt: skip
    names = ["done"] * done + ["now", "next"] + ["ahead"] * 5
    return tuple(names[:5])
