"""The window of an open frame: from framing done to the day insulation or drywall closes it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Window:
    """What a builder said of a frame's days. A day that was not said leaves its side open."""

    framing_done: date | None = None
    siding_starts: date | None = None
    insulation_starts: date | None = None

    def too_early(self, day: date) -> bool:
        """Whether there is no whole frame yet. On the day framing is done there is one."""
        return self.framing_done is not None and day < self.framing_done

    def shut(self, day: date) -> bool:
        """Whether insulation or drywall closes the frame by then: on the day it starts it does."""
        return self.insulation_starts is not None and day >= self.insulation_starts

    def holds(self, day: date) -> bool:
        """Whether the frame stands open on this day."""
        return not self.too_early(day) and not self.shut(day)

    def before_siding(self, day: date) -> bool:
        """Whether every wall can still be reached from outside. Where no day was said, it can."""
        return self.siding_starts is None or day < self.siding_starts

    @property
    def last(self) -> date | None:
        """The last day on which the frame is open; None where nobody said when it closes."""
        return self.insulation_starts - ONE_DAY if self.insulation_starts else None

    @property
    def never(self) -> bool:
        """Whether by the days given there is no day at all between framing and insulation."""
        return None not in (self.framing_done, self.last) and self.last < self.framing_done  # type: ignore[operator]

    @property
    def narrows(self) -> tuple[date, date]:
        """By which lots are put in order: when the window shuts, then when siding narrows it."""
        return self.insulation_starts or date.max, self.siding_starts or date.max
