"""A clock that the story turns, and luck that falls the same way each time."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from portal.acts.parts import Luck
from portal.core.cover.numbers import ALPHABET


class StoryClock:
    """Stands where the story put it; each look moves it a second on, so that nothing happens at once."""

    def __init__(self, today: date, zone: ZoneInfo) -> None:
        self.today, self.zone = today, zone
        self.moment = datetime.combine(today, time(8), tzinfo=zone)

    def __call__(self) -> datetime:
        self.moment += timedelta(seconds=1)
        return self.moment.astimezone(UTC)

    def day(self, offset: int) -> date:
        """The working day so many days from today: back from a weekend that is over, on from one to come."""
        day = self.today + timedelta(days=offset)
        while offset and day.weekday() >= 5:
            day += timedelta(days=1 if offset > 0 else -1)
        return day

    def at(self, offset: int, hour: int, minute: int = 0) -> datetime:
        """An hour of the working day so many days from today."""
        return datetime.combine(self.day(offset), time(hour, minute), tzinfo=self.zone).astimezone(UTC)

    def turn_to(self, moment: datetime) -> None:
        """Put the clock to a moment."""
        self.moment = moment


def steady_luck() -> Luck:
    """Draws that are the same in every demo: for a demo only, since anybody could guess them."""
    draw = random.Random(20417)
    return Luck(below=draw.randrange, token=lambda: "".join(draw.choice(ALPHABET) for _ in range(32)).lower())
