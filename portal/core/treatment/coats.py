"""The coat clock: which stretch to spray next, and from when, so that nobody waits without need.

Stretches that take two coats get their first before all else, in Johnson's order (see minutes.py), so that
they dry while the rest is sprayed; then the rest; then the second coats, each no sooner than it is dry. That
is the order whose waiting the estimate reckons with. Times are minutes of the day.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from typing import Any

from portal.core.treatment.crew import Crew
from portal.core.treatment.evidence import read_clock
from portal.core.treatment.minutes import longest_first

INTERIOR = "interior"


@dataclass(frozen=True, slots=True)
class Coat:
    """A stretch, or the interior walls, and how far its coats have come. `twice`: it takes two."""

    key: str
    feet: Fraction
    twice: bool
    first: tuple[Fraction | None, Fraction | None] = (None, None)
    second: tuple[Fraction | None, Fraction | None] = (None, None)


@dataclass(frozen=True, slots=True)
class NextCoat:
    """What to do now: *finish* what was started, spray the *first* or *second* coat of a stretch, *wait* for
    one until `at`, or nothing more (*done*)."""

    act: str
    key: str = ""
    coat: str = ""
    at: Fraction | None = None


def order(coats: Iterable[Coat], by_shrinking_length: bool) -> list[Coat]:
    """The stretches in the order of their first coats."""
    listed = list(coats)
    twice = sorted(
        (c for c in listed if c.twice), key=lambda c: c.feet, reverse=by_shrinking_length
    )  # equal lengths stay as they stood
    return twice + [c for c in listed if not c.twice]


def next_coat(coats: Sequence[Coat], now: Fraction, dry: Fraction, by_shrinking_length: bool) -> NextCoat:
    """What to do at `now`. `dry`: minutes from the end of a first coat to the start of the second."""
    ordered = order(coats, by_shrinking_length)
    for coat in ordered:
        for name, (start, end) in (("first", coat.first), ("second", coat.second)):
            if start is not None and end is None and (name == "first" or coat.twice):
                return NextCoat("finish", coat.key, name)
    for coat in ordered:
        if coat.first[1] is None:
            return NextCoat("first", coat.key, "first")
    left = [
        (c.first[1] + dry, c) for c in ordered if c.twice and c.second[1] is None and c.first[1] is not None
    ]
    if not left:
        return NextCoat("done")
    at, coat = min(left, key=lambda due: due[0])
    return NextCoat("second" if at <= now else "wait", coat.key, "second", at)


def read_coats(
    walls: Iterable[tuple[str, Fraction, bool]], interior_feet: Fraction, values: Mapping[str, str]
) -> list[Coat]:
    """The coats as far as an entry has them: key, feet and whether it takes two, of each stretch."""

    def span(at: str) -> tuple[Fraction | None, Fraction | None]:
        start, end = (read_clock(values.get(f"{at}.{edge}", "").strip()) for edge in ("start", "end"))
        return tuple(Fraction(t.hour * 60 + t.minute) if t else None for t in (start, end))  # type: ignore[return-value]

    found = [
        Coat(key, feet, twice, span(f"first.{key}"), span(f"second.{key}")) for key, feet, twice in walls
    ]
    return [*found, Coat(INTERIOR, interior_feet, False, span(INTERIOR))] if interior_feet else found


def too_early(values: Mapping[str, str], wall: str, start: str, dry_minutes: Decimal) -> str:
    """The time of day before which this second coat cannot start, where `start` is before it; else nothing.

    Only for times of one day that can be read: the rest is for the whole evidence to judge.
    """
    ended, started = (read_clock(text.strip()) for text in (values.get(f"first.{wall}.end", ""), start))
    if ended is None or started is None:
        return ""
    earliest = ended.hour * 60 + ended.minute + int(dry_minutes.to_integral_value(ROUND_CEILING))
    if earliest >= 24 * 60 or started.hour * 60 + started.minute >= earliest:
        return ""
    return f"{earliest // 60:02}:{earliest % 60:02}"


def by_shrinking_length(estimate: Mapping[str, Any]) -> bool:
    """Johnson's direction at the pace an estimate was reckoned with; the usual pace where it had none."""
    minutes, feet = estimate["minutes"], estimate["feet"]
    twice, total = Fraction(feet["second_coat"]), Fraction(feet["total"])
    if not twice or not total:
        usual = Crew().minutes_per_foot
        return longest_first(usual.spray, usual.second_coat)
    return longest_first(Fraction(minutes["first_coat"]) / total, Fraction(minutes["second_coat"]) / twice)
