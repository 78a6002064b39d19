"""What stands against a booking, by what the store knows; and the reasons given for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.editions import days_off, travel_minutes
from portal.acts.parts import Parts
from portal.acts.texts import check, text_problems
from portal.core.crewdays.checks import KINDS, Booking, problems
from portal.core.crewdays.hours import Hours
from portal.core.crewdays.window import Window
from portal.core.errors import Problem
from portal.core.words import say
from portal.store import crew_days, doors, quotes
from portal.store.transaction import Work

NO_KIND = say("Choose the reason: it is kept, and the builder is told.")
NO_WORDS = say("Give the reason: it is kept, and the builder is told.")


@dataclass(frozen=True, slots=True)
class Why:
    """Why a booking is as it is: a kind, where one was chosen, and words."""

    kind: str = ""
    words: str = ""

    def problems(self) -> list[Problem]:
        """What is missing for a reason that somebody else can read."""
        if self.kind not in KINDS:
            # Words without a kind are a reason too.
            return [] if self.words and not self.kind else [Problem("kind", NO_KIND)]
        if self.kind == "other" and not self.words:
            return [Problem("reason", NO_WORDS)]
        return []


def check_why(why: Why) -> None:
    """Raise `BadInput` where no reason is given, or one too long to keep."""
    check(why.problems(), text_problems("reason", why.words, 2000))


def window_of(lot: Any) -> Window:
    """The window of a lot's open frame."""
    return Window(lot.framing_done, lot.siding_starts, lot.insulation_starts)


def check_booking(
    parts: Parts, work: Work, lot: Any, job: Any, technician: Any, day: date | None, notes: str, why: Why
) -> None:
    """Raise `BadInput` with all that stands against this booking."""
    found = []
    if technician is None:
        found.append(Problem("technician", say("Choose a technician.")))
    if day is None:
        found.append(Problem("day", say("Choose a day.")))
    if technician is not None and day is not None:
        found += _of_day(parts, work, lot, job, technician, day, notes, why)
    check(found, text_problems("notes", notes, 4000), text_problems("reason", why.words, 2000))


def _of_day(
    parts: Parts, work: Work, lot: Any, job: Any, technician: Any, day: date, notes: str, why: Why
) -> list[Problem]:
    stays = (job.technician_id, job.day) == (technician.id, day)
    if stays and notes == job.notes:
        already = say("It is booked for {day} with {name} already.", day=day, name=technician.name)
        return [Problem("day", already)]
    if stays:
        return []
    # Two of the office who fill one day at once: the second sees what the first booked.
    doors.hold(work, "crew day", f"{technician.id} {day}")
    found = problems(asked_for(work, lot, job, technician, day, parts.today()), parts.today(), why.words)
    more = why.problems() if job.day is not None else _of_kind(why)
    # One empty field is told of once, in the words that say most.
    told = {problem.at for problem in found}
    return found + [problem for problem in more if problem.at not in told]


def _of_kind(why: Why) -> list[Problem]:
    return [Problem("kind", NO_KIND)] if why.kind and why.kind not in KINDS else []


def asked_for(work: Work, lot: Any, job: Any, technician: Any, day: date, today: date) -> Booking:
    """The stop as somebody wants to book it, with all that the rule looks at."""
    firm = quotes.edition_on(work, "firm", max(day, today)).document
    off = frozenset([day] if crew_days.has_day_off(work, technician.id, day) else [])
    hours = Hours(crew_days.week_of(work, technician.id), off, frozenset(days_off(firm)))
    return Booking(
        day=day, technician=technician.name, minutes=job.minutes, window=window_of(lot), hours=hours,
        load=crew_days.load(work, technician.id, day, but_lot=lot.id), travel=travel_minutes(firm),
        subdivision=lot.subdivision_id,
    )  # fmt: skip
