"""How the invented office gets paid: its reminders, one promise, one statement."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import Any

from portal.acts import chase, chase_terms, disputing, reminding, statements
from portal.acts.parts import Actor, Parts
from seed_demo.scenario.clock import StoryClock

#: Reminders as this office says them, and interest as it stands on its invoices. All of it is invented.
TERMS: dict[str, Any] = {
    "steps": [
        {"days": "-3", "subject": "{invoice} is due on {due}",
         "body": "{amount} for {lot} is due on {due}.\n\nIf it is on its way already, thank you."},
        {"days": "7", "subject": "{invoice} was due {days} days ago",
         "body": "{amount} for {lot} was due on {due} and has not reached us.\n\n"
                 "If something about the invoice is not right, say so: we look at it before we write again."},
        {"days": "21", "subject": "{invoice}: {amount} is {days} days late",
         "body": "{amount} for {lot} was due on {due}.\n\nPlease pay it, or call and say by when you will."},
    ],
    "interest": {"percent": "6", "grace_days": "10", "counts": "365"},
}  # fmt: skip


class ChaseTale:
    """Tells it in the order of time."""

    def __init__(self, parts: Parts, clock: StoryClock, owner: Actor, office: Actor, builder: Actor) -> None:
        self.parts, self.clock = parts, clock
        self.owner, self.office, self.builder = owner, office, builder

    def enter(self) -> None:
        """The owner enters what is chased by."""
        chase_terms.enter_chase_terms(self.parts, self.owner, self.parts.today(), TERMS, "chasing")

    def acts(self) -> Iterator[tuple[datetime, int, Callable[[], Any]]]:
        """The worker's mornings; a statement; a promise of what is late by then."""
        for offset in range(-60, 0):
            yield self.clock.at(offset, 7), 900, self.morning
        yield self.clock.at(-6, 9), 901, self.statement
        yield self.clock.at(-2, 10), 902, self.promise

    def morning(self) -> None:
        """What the worker does each day."""
        reminding.remind(self.parts)

    def statement(self) -> None:
        """What the builder owes, from its first lot on; mailed."""
        company, today = self.builder.company_id or "", self.parts.today()
        made = statements.make_statement(
            self.parts, self.office, company, today - timedelta(days=110), today, "chase-statement"
        )
        statements.send_statement(self.parts, self.office, made, "chase-statement-sent")

    def promise(self) -> None:
        """By when the latest of them is to be paid."""
        late = [one for one in chase.chase(self.parts, self.office).late
                if one.row.company_id == self.builder.company_id]  # fmt: skip
        if late:
            by_day = self.parts.today() + timedelta(days=8)
            disputing.promise(
                self.parts, self.office, late[0].row.id, by_day, self.builder.name, "A check is in the mail."
            )
