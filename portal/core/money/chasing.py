"""What an owner enters of chasing: the steps of reminders in words of the office's own, and interest.

A step's words may name five things in braces; each is checked when it is entered, so that no builder is
ever sent a brace.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Any

from portal.core.errors import BadInput, Problem
from portal.core.money.interest import COUNTS, InterestTerms
from portal.core.words import say

#: What a reminder's words may name.
NAMES = ("invoice", "amount", "due", "days", "lot")
MOST_STEPS = 8
#: How long before and after its due day an invoice may be reminded of.
EARLIEST, LATEST = -60, 365
LONGEST_SUBJECT, LONGEST_BODY = 120, 2000
NAMED = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Step:
    """A reminder, so many days after an invoice's due day; before it where that is under zero."""

    days: int
    subject: str
    body: str


@dataclass(frozen=True, slots=True)
class Chasing:
    """The steps by their days, and what invoices say of interest; None where they say nothing."""

    steps: tuple[Step, ...] = ()
    interest: InterestTerms | None = None


def read_chasing(document: Mapping[str, Any]) -> Chasing:
    """What an edition says. Raises `BadInput` with every problem at its field."""
    problems: list[Problem] = []
    listed = document.get("steps", [])
    steps = [_step(step, f"steps[{n}]", problems) for n, step in enumerate(listed[:MOST_STEPS])]
    if len(listed) > MOST_STEPS:
        problems.append(Problem("steps", say("At most {most} steps, please.", most=MOST_STEPS)))
    for n, step in enumerate(steps):
        if any(step.days == earlier.days for earlier in steps[:n]):
            problems.append(Problem(f"steps[{n}].days", say("Another step has this day.")))
    interest = _interest(document.get("interest", {}), problems)
    if problems:
        raise BadInput(problems)
    return Chasing(tuple(sorted(steps, key=lambda step: step.days)), interest)


def _step(step: Mapping[str, Any], at: str, problems: list[Problem]) -> Step:
    days = _whole(step.get("days", ""), f"{at}.days", EARLIEST, LATEST, problems)
    subject, body = str(step.get("subject", "")), str(step.get("body", ""))
    _check_words(subject, f"{at}.subject", LONGEST_SUBJECT, problems)
    _check_words(body, f"{at}.body", LONGEST_BODY, problems)
    if "\n" in subject:
        problems.append(Problem(f"{at}.subject", say("A subject is one line.")))
    return Step(days, subject, body)


def _check_words(text: str, at: str, longest: int, problems: list[Problem]) -> None:
    if not text.strip():
        problems.append(Problem(at, say("This is missing.")))
    if len(text) > longest:
        problems.append(Problem(at, say("At most {limit} characters, please.", limit=longest)))
    if any((ord(sign) < 32 and sign not in "\r\n\t") or ord(sign) == 127 for sign in text):
        problems.append(Problem(at, say("There is a character in here that cannot be printed.")))
    unknown = [name for name in NAMED.findall(text) if name not in NAMES]
    if unknown or set("{}") & set(NAMED.sub("", text)):
        read = f"{{{unknown[0][:20]}}}" if unknown else "{"
        known = ", ".join(f"{{{name}}}" for name in NAMES)
        problems.append(Problem(at, say("“{read}” cannot be filled in; what can is {known}.",
                                        read=read, known=known)))  # fmt: skip


def _interest(entered: Mapping[str, Any], problems: list[Problem]) -> InterestTerms | None:
    typed = str(entered.get("percent", "")).strip()
    if not typed:
        return None
    percent = _percent(typed)
    if percent is None:
        problems.append(
            Problem(
                "interest.percent",
                say(
                    "“{read}” is no percent; write a number over 0, at most 100, such as 6 or 7.5.",
                    read=typed[:20],
                ),
            )
        )
    grace = _whole(entered.get("grace_days", 0) or 0, "interest.grace_days", 0, LATEST, problems)
    counts = str(entered.get("counts", ""))
    if counts not in COUNTS:
        problems.append(Problem("interest.counts", say("Choose how the days are counted.")))
    return InterestTerms(percent or Decimal(0), grace, counts)


def _percent(typed: str) -> Decimal | None:
    try:
        percent = Decimal(typed)
    except InvalidOperation:
        return None
    plain = re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,3})?", typed, re.ASCII)
    return percent if plain and 0 < percent <= 100 else None


def _whole(value: Any, at: str, least: int, most: int, problems: list[Problem]) -> int:
    typed = str(value).strip()
    if re.fullmatch(r"-?[0-9]{1,4}", typed, re.ASCII) and least <= int(typed) <= most:
        return int(typed)
    problems.append(Problem(at, say("“{read}” is no whole number from {least} to {most}.",
                                    read=typed[:20], least=least, most=most)))  # fmt: skip
    return least


def fill(words: str, values: Mapping[str, str]) -> str:
    """The words with what they name filled in."""
    return NAMED.sub(lambda found: values[found[1]], words)


@dataclass(frozen=True, slots=True)
class Owed:
    """What the steps go by: when an invoice was issued and is due, and the days of the step last sent."""

    issued_on: date
    due_on: date
    last: int | None = None


@dataclass(frozen=True, slots=True)
class Calendar:
    """The steps on the office's own calendar: nothing goes out on a weekend or on one of its days off."""

    steps: tuple[Step, ...]
    days_off: frozenset[date] = frozenset()

    def is_worked(self, day: date) -> bool:
        """Whether the office works on a day."""
        return day.weekday() < 5 and day not in self.days_off

    def worked(self, day: date, on: int = 1) -> date:
        """The day, or the next on which the office works; with -1 the one before."""
        while not self.is_worked(day):
            day += timedelta(days=on)
        return day

    def day_of(self, step: Step, due_on: date) -> date:
        """The day on which a step is to go out.

        One that falls on no working day goes out on the next; one before the due day on the one before,
        because it is to come before that day.
        """
        return self.worked(due_on + timedelta(days=step.days), -1 if step.days < 0 else 1)

    def due(self, owed: Owed, today: date) -> Step | None:
        """The step that is to go out on a day, where the office works on it.

        Of several whose day has come, the latest: nobody is told three times on one day, nor of a due day to
        come once it has passed.
        """
        come = [step for step in self._left(owed) if self.day_of(step, owed.due_on) <= today]
        if not come or not self.is_worked(today) or (come[-1].days < 0 and today > owed.due_on):
            return None
        return come[-1]

    def next(self, owed: Owed, begin: date) -> tuple[Step, date] | None:
        """The step that will go out next, and its day, as things stand; not before a day."""
        days = {self.worked(max(self.day_of(step, owed.due_on), begin)) for step in self._left(owed)}
        found = ((self.due(owed, day), day) for day in sorted(days))
        return next(((step, day) for step, day in found if step is not None), None)

    def _left(self, owed: Owed) -> list[Step]:
        """The steps after the last that was sent; before the due day, only those that follow the issue."""
        left = [step for step in self.steps if owed.last is None or step.days > owed.last]
        return [step for step in left if step.days >= 0 or self.day_of(step, owed.due_on) > owed.issued_on]
