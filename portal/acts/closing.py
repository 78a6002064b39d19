"""Closes a month: nothing is posted into it anymore, and what the accounts came to is kept for good."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.trail import note
from portal.core.documents import fingerprint
from portal.core.errors import Overtaken, refuse
from portal.core.money.books import TrialBalance, closing, month_to_close, trial_balance
from portal.store import closing as unusual_rows
from portal.store import ledger, trail
from portal.store.closing import Unusual
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class MonthToClose:
    """The month that is closed next, as it would be. `mark` is the fingerprint of what was shown.

    `over`: whether its last day is behind us. `unusual` is what deserves a look first; none of it forbids.
    """

    through: date
    over: bool
    trial: TrialBalance
    entries: int
    mark: str
    unusual: Unusual


def look(parts: Parts, who: Actor) -> MonthToClose | None:
    """The dry look: what closing the next month would keep, and what is unusual in it."""
    must_be(who, "office")
    with parts.store.reading() as work:
        through = _next(work)
        if through is None:
            return None
        balances, entries = ledger.balances(work, through), ledger.entries_until(work, through)
        mark = fingerprint(closing(through, entries, balances))
        return MonthToClose(
            through, through < parts.today(), trial_balance(through, balances), entries, mark,
            unusual_rows.unusual(work, through),
        )  # fmt: skip


def _next(work: Work) -> date | None:
    return month_to_close(ledger.closed_through(work), ledger.first_day(work))


def close_month(parts: Parts, who: Actor, through: date, mark: str) -> None:
    """Close the month that was looked at, if it still comes to what was shown."""
    must_be_owner(who)
    with parts.store.writing() as work:
        # Whoever posts holds the history's head until its act is over: from here on nothing comes in between.
        trail.hold_head(work)
        if through != _next(work):
            raise Overtaken("month")
        if through >= parts.today():
            raise refuse("This month is not over: it can be closed from the first day of the next one.")
        document = closing(through, ledger.entries_until(work, through), ledger.balances(work, through))
        if fingerprint(document) != mark:
            raise Overtaken("month")
        ledger.close(work, through, document, mark, who.name)
        note(work, who, "month closed", f"{through:%Y-%m}", entries=document["entries"], fingerprint=mark)
