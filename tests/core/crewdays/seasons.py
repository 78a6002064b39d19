"""Lots and technicians' days to find days for, all invented."""

from __future__ import annotations

import random
from datetime import date, timedelta
from decimal import Decimal

from portal.core.crewdays.places import CrewDay, Question, Unbooked
from portal.core.crewdays.window import Window

MONDAY = date(2027, 5, 3)


def day(number: int) -> date:
    """So many days after a Monday."""
    return MONDAY + timedelta(number)


def season(
    seed: int, lots: int = 60, technicians: int = 3, weeks: int = 3, minutes: tuple[int, int] = (90, 260)
) -> Question:
    """Lots of eight subdivisions and none, whose windows lie all over some weeks, and full days of a crew."""
    draw = random.Random(seed)
    asked = []
    for number in range(lots):
        framed, span = draw.randrange(weeks * 7 - 4), draw.randrange(3, 9)
        siding = framed + draw.randrange(span + 3)
        asked.append(Unbooked(
            f"L{number:02}", draw.randrange(*minutes), Window(day(framed), day(siding), day(framed + span)),
            draw.choice([*"ABCDEFGH", ""]), Decimal(draw.randrange(40_000)) / 100,
        ))  # fmt: skip
    days = tuple(
        CrewDay(f"T{who}", day(n), 480)
        for n in range(weeks * 7) if day(n).weekday() < 5 for who in range(technicians)
    )  # fmt: skip
    return Question(tuple(asked), days, 30)
