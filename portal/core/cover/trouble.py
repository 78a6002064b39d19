"""A report of trouble: the steps from report to closed, and the day its first answer is due."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta

from portal.core.errors import refuse

#: Days to the first answer where the office set none. Common practice, no source.
ANSWER_DAYS = 3
DECISIONS = ("covered", "partly covered", "not covered")

#: What a step needs to have come last. A day may be booked anew; each other step is taken once.
AFTER = {
    "answered": ("reported",),
    "booked": ("answered", "booked"),
    "found": ("booked",),
    "decided": ("found",),
    "done": ("decided",),
    "closed": ("decided", "done"),
}


def next_steps(state: str, decision: str = "") -> tuple[str, ...]:
    """The steps that may come next. What is covered is not closed before something was done about it."""
    found = tuple(step for step, after in AFTER.items() if state in after)
    if state == "decided":
        return ("closed",) if decision == "not covered" else ("done",)
    return found


def may_be_retreated(state: str, decision: str) -> bool:
    """Whether it is decided, and covered, so that it can be treated again."""
    return state == "decided" and decision != "not covered"


def check_step(state: str, step: str, decision: str = "") -> None:
    """Raise `Refused` where the step cannot come now."""
    if step not in next_steps(state, decision):
        raise refuse("It is {now}, so it cannot become {to}.", now=state, to=step)


def answer_due(reported_on: date, days: int, days_off: Collection[date]) -> date:
    """The last day for a first answer: so many working days after the report, none of them a day off."""
    day = reported_on
    while days > 0:
        day += timedelta(days=1)
        if day.weekday() < 5 and day not in days_off:
            days -= 1
    return day
