"""Doors that slow down after a few wrong tries, by who tries and by what is tried."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from portal.core.errors import TooManyTries
from portal.store import doors, trail
from portal.store.transaction import Work

LONGEST_SUBJECT = 100


@dataclass(frozen=True, slots=True)
class Door:
    """Wrong tries are free up to `free` within `window`; then each must wait, twice as long as the last."""

    name: str
    free: int
    window: timedelta
    first_wait: timedelta

    def wait(self, count: int) -> timedelta:
        """How long after the newest of so many wrong tries the next has to wait."""
        if count < self.free:
            return timedelta(0)
        doublings: int = 2 ** min(count - self.free, 10)
        return min(self.first_wait * doublings, self.window)

    def check(self, work: Work, *subjects: str) -> None:
        """Raise `TooManyTries` where one of the subjects has to wait.

        Asked in a writing transaction: it holds the door for these subjects until that ends,
        so that of many tries sent at once each sees the ones before it.
        """
        cut = [subject[:LONGEST_SUBJECT] for subject in subjects]
        doors.hold(work, self.name, *cut)
        for subject in cut:
            count, newest = trail.tries_since(work, self.name, subject, work.now - self.window)
            if count < self.free or newest is None:
                continue
            left = newest + self.wait(count) - work.now
            if left > timedelta(0):
                raise TooManyTries(int(left.total_seconds()) + 1)

    def count(self, work: Work, subject: str) -> int:
        """How many tries the subject has had within the window; holds the door as `check` does."""
        cut = subject[:LONGEST_SUBJECT]
        doors.hold(work, self.name, cut)
        return trail.tries_since(work, self.name, cut, work.now - self.window)[0]

    def add(self, work: Work, *subjects: str) -> list[str]:
        """Count a try for each subject; answers the tries' ids."""
        return [trail.add_try(work, self.name, subject[:LONGEST_SUBJECT]) for subject in subjects]

    def forget(self, work: Work, subject: str) -> None:
        """Start a subject's count again."""
        trail.forget_tries(work, self.name, subject[:LONGEST_SUBJECT])
