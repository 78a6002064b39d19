"""What stands against booking a stop: some of it refuses, some of it takes a reason, which is kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from portal.core.crewdays.hours import WHOLE_DAY, Hours, Load
from portal.core.crewdays.window import Window
from portal.core.errors import Problem
from portal.core.words import Said, say

#: Why a booking is moved or called off, in the order they are offered. Only `other` says nothing by itself.
KINDS = ("weather", "not ready", "builder", "crew", "other")


@dataclass(frozen=True, slots=True)
class Booking:
    """A stop as somebody wants to book it. `load` are the other stops of that technician on that day."""

    day: date
    technician: str
    minutes: int
    window: Window
    hours: Hours
    load: Load
    travel: int
    subdivision: str | None = None

    @property
    def filled(self) -> int:
        """Minutes of the day filled with this stop among the others."""
        return self.load.with_stop(self.minutes, self.subdivision).filled(self.travel)


def refusals(booking: Booking, today: date) -> list[Problem]:
    """What no reason helps against."""
    found = []
    if booking.day < today:
        found.append(Problem("day", say("{day} is over. Choose today or a later day.", day=booking.day)))
    if booking.hours.off(booking.day):
        found.append(Problem("day", say(
            "{name} is off on {day}. Choose another day or technician.",
            name=booking.technician, day=booking.day,
        )))  # fmt: skip
    elif booking.filled > WHOLE_DAY:
        found.append(Problem("day", say(
            "With this stop {name}’s day would take {filled}, and no day has more than 24 hours.",
            name=booking.technician, filled=spelled(booking.filled),
        )))  # fmt: skip
    return found


def doubts(booking: Booking) -> list[Said]:
    """What a reason has to be given for."""
    return [*_of_window(booking), *_of_hours(booking)]


def problems(booking: Booking, today: date, reason: str) -> list[Problem]:
    """All that stands against a booking with this reason: nothing, where it can be booked."""
    found = refusals(booking, today)
    if not reason.strip():
        found += [Problem("reason", says) for says in doubts(booking)]
    return found


def _of_window(booking: Booking) -> Iterator[Said]:
    window, day = booking.window, booking.day
    if window.too_early(day):
        yield say(
            "Framing is done on {day}, and before that there is no whole frame to treat. "
            "To book this day all the same, give the reason.", day=window.framing_done,
        )  # fmt: skip
    if window.shut(day):
        yield say(
            "Insulation starts on {day}, and the frame is closed then. "
            "To book this day all the same, give the reason.", day=window.insulation_starts,
        )  # fmt: skip


def _of_hours(booking: Booking) -> Iterator[Said]:
    hours, day = booking.hours, booking.day
    if hours.off(day):
        return
    at_work = hours.minutes_on(day)
    if day in hours.office_off:
        yield say("{day} is one of the office’s days off. To book it all the same, give the reason.", day=day)
    elif not at_work:
        yield say(
            "{name} is not at work on that day of the week. To book {day} all the same, give the reason.",
            name=booking.technician, day=day,
        )  # fmt: skip
    elif booking.filled > at_work:
        yield say(
            "With this stop {name}’s day takes {filled} with the ways, and {name} works {hours}. "
            "To book it all the same, give the reason.",
            name=booking.technician, filled=spelled(booking.filled), hours=spelled(at_work),
        )  # fmt: skip


def spelled(minutes: int) -> Said:
    """Minutes as people say them: 6 h 20 min."""
    hours, rest = divmod(minutes, 60)
    if not rest:
        return say("{hours} h", hours=hours)
    return say("{hours} h {minutes} min", hours=hours, minutes=rest)
