"""Reads what is on the outside of a level's walls."""

from __future__ import annotations

from fractions import Fraction

from portal.core.errors import Problem
from portal.core.fields import Problems, choice, entries, length, usable
from portal.core.jsontext import quoted
from portal.core.takeoff.house import (
    FACES,
    STATUSES,
    Rectangles,
    Siding,
    SidingByFace,
    SidingByLength,
    Survey,
    Walk,
)
from portal.core.takeoff.outlines import Read
from portal.core.words import say

REST = "rest"
NAMED_IN_ORDER = ("sided", "wrapped", "open")
# What siding by length may miss the exterior feet by: a tape is read to an eighth of an inch.
SLACK = Fraction(1, 100)


def read_siding(value: object, at: str, read: Read | None, problems: Problems) -> Siding:
    """The siding at `at`, checked against the outline where that could be read."""
    if isinstance(value, dict):
        if "by" not in value:
            problems.append(Problem(f"{at}.by", say("{key} is missing", key="by")))
            return None
        way = choice(value["by"], f"{at}.by", problems, ("face", "length"))
        if way == "face":
            return _read_faces(value, at, read, problems)
        return _read_lengths(value, at, read, problems) if way else None
    if isinstance(value, str) and value in STATUSES:
        return value
    says = say(
        "siding is open, wrapped, sided, or an object by face or by length, not {read}", read=quoted(value)
    )
    problems.append(Problem(at, says))
    return None


def _read_faces(value: dict[str, object], at: str, read: Read | None, problems: Problems) -> Siding:
    fields = entries(value, at, problems, ("by", *FACES))
    if read and not isinstance(read[0], Rectangles):
        problems.append(Problem(at, say("siding by face is for an outline of rectangles")))
    found = [choice(fields[face], f"{at}.{face}", problems, STATUSES) for face in FACES if face in fields]
    statuses = [status for status in found if status is not None]
    return SidingByFace(*statuses) if len(statuses) == len(FACES) else None


def _read_lengths(value: dict[str, object], at: str, read: Read | None, problems: Problems) -> Siding:
    before = len(problems)
    fields = entries(value, at, problems, ("by",), STATUSES)
    named = [status for status in STATUSES if status in fields]
    rests = [status for status in named if fields[status] == REST]
    feet = {
        status: length(fields, status, at, problems, zero=True)
        if status in named and status not in rests
        else Fraction(0)
        for status in STATUSES
    }
    if not named:
        problems.append(Problem(at, say("name at least one of {choices}", choices=", ".join(STATUSES))))
    if len(rests) > 1:
        problems.append(Problem(at, say("only one of {choices} can be the rest", choices=", ".join(rests))))
    if read and isinstance(read[0], Walk) and any(wall.siding for wall in read[0].walls):
        says = say("walls with a siding of their own do not go with a siding by length")
        problems.append(Problem(at, says))
    if read and read[1].estimated and not rests and usable(problems, before):
        says = say("where the outline is estimated from its area, one of the lengths must be the rest")
        problems.append(Problem(at, says))
    if read is None or not usable(problems, before):
        return None
    return _add_up(feet, rests[0] if rests else None, at, read[1], problems)


def _add_up(
    feet: dict[str, Fraction], rest: str | None, at: str, survey: Survey, problems: Problems
) -> SidingByLength | None:
    left = survey.exterior - sum(feet.values())
    if rest and left >= 0:
        feet[rest], left = left, Fraction(0)
    if abs(left) > SLACK:
        shown = {"difference": f"{abs(float(left)):.2f}", "exterior": f"{float(survey.exterior):.2f}"}
        if left < 0:
            says = say("these are {difference} ft more than the {exterior} ft of exterior wall", **shown)
        else:
            says = say("these are {difference} ft less than the {exterior} ft of exterior wall", **shown)
        problems.append(Problem(at, says))
        return None
    # Of two equally long the one named first in the document's own order takes the difference.
    longest = max(NAMED_IN_ORDER, key=lambda status: feet[status])
    feet[longest] += left
    return SidingByLength(feet["sided"], feet["wrapped"], feet["open"], left)
