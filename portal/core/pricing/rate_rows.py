"""The tables of a rate book: bands of the price, charges by distance, and extras that are on its list."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from portal.core.errors import Problem
from portal.core.fields import Problems, choice, entries, items, name, number
from portal.core.jsontext import quoted
from portal.core.words import Said, say

MOST_BANDS = 12
MOST_DISTANCES = 12
MOST_EXTRAS = 40
#: How an extra of the list is counted.
COUNTED_BY = ("piece", "foot")


@dataclass(frozen=True, slots=True)
class Band:
    """A slice of the feet: those up to `up_to_feet` (the last slice has no end) at `per_foot`."""

    up_to_feet: Fraction | None
    per_foot: Fraction


@dataclass(frozen=True, slots=True)
class Distance:
    """The call-out of lots that are up to so many miles away; the last distance has no end."""

    up_to_miles: Fraction | None
    charge: Fraction


@dataclass(frozen=True, slots=True)
class ListedExtra:
    """Work beside the treatment at a set price: by the piece or by the foot (COUNTED_BY)."""

    name: str
    by: str
    price: Fraction


def read_bands(value: object, at: str, problems: Problems) -> tuple[Band, ...]:
    """One band at least, ascending, the last one open."""
    listed = items(value, at, problems, say("bands"), most=MOST_BANDS)
    rows = _ascending(listed, value, at, ("up_to_feet", "per_foot"), _BAND_SAYS, problems)
    return tuple(Band(end, amount) for end, amount in rows)


def read_distances(value: object, at: str, problems: Problems) -> tuple[Distance, ...]:
    """None at all, or distances that ascend, the last one open."""
    listed = items(value, at, problems, say("distances"), most=MOST_DISTANCES, least=0)
    rows = _ascending(listed, value, at, ("up_to_miles", "charge"), _DISTANCE_SAYS, problems)
    return tuple(Distance(end, amount) for end, amount in rows)


def read_extras(value: object, at: str, problems: Problems) -> tuple[ListedExtra, ...]:
    """The list of extras; no two of one name."""
    listed = items(value, at, problems, say("extras"), most=MOST_EXTRAS, least=0)
    found = [_read_extra(one, f"{at}[{i}]", problems) for i, one in enumerate(listed)]
    seen: set[str] = set()
    for i, extra in enumerate(found):
        called = extra.name.strip().lower()
        if called and called in seen:
            says = say("{read} is on the list already", read=quoted(extra.name))
            problems.append(Problem(f"{at}[{i}].name", says))
        seen.add(called)
    return tuple(found)


def _read_extra(value: object, at: str, problems: Problems) -> ListedExtra:
    fields = entries(value, at, problems, ("name", "by", "price"))
    called = name(fields["name"], f"{at}.name", problems) if "name" in fields else ""
    by = choice(fields["by"], f"{at}.by", problems, COUNTED_BY) if "by" in fields else None
    price = number(fields["price"], f"{at}.price", problems, least=0) if "price" in fields else None
    return ListedExtra(called, by or COUNTED_BY[0], price or Fraction(0))


Says = tuple[Said, Callable[[str], Said]]
_BAND_SAYS: Says = (
    say("the last band has no end"),
    lambda read: say("bands ascend: {read} is not over the band before it", read=read),
)
_DISTANCE_SAYS: Says = (
    say("the last distance has no end"),
    lambda read: say("distances ascend: {read} is not over the distance before it", read=read),
)


def _ascending(
    listed: list[object], value: object, at: str, keys: tuple[str, str], says: Says, problems: Problems
) -> list[tuple[Fraction | None, Fraction]]:
    """Rows of an end and an amount. `keys` are what the two are called."""
    found: list[tuple[Fraction | None, Fraction]] = []
    reached = Fraction(0)
    # With more rows than may be the last one is not to be seen; then that is the only thing told.
    last = len(value) - 1 if isinstance(value, list | tuple) else 0
    for i, one in enumerate(listed):
        row = _row(one, f"{at}[{i}]", i == last, reached, keys, says, problems)
        reached = row[0] or reached
        found.append(row)
    return found


def _row(
    value: object, at: str, last: bool, reached: Fraction, keys: tuple[str, str], says: Says,
    problems: Problems,
) -> tuple[Fraction | None, Fraction]:  # fmt: skip
    end_key, amount_key = keys
    if not isinstance(value, dict):
        entries(value, at, problems, ())
        return None, Fraction(0)
    fields = entries(value, at, problems, (amount_key,) if last else (end_key, amount_key), (end_key,))
    amount = (
        number(fields[amount_key], f"{at}.{amount_key}", problems, least=0) if amount_key in fields else None
    )
    end = None
    if end_key in fields and last:
        problems.append(Problem(f"{at}.{end_key}", says[0]))
    elif end_key in fields:
        end = number(fields[end_key], f"{at}.{end_key}", problems, over=0)
        if end is not None and end <= reached:
            problems.append(Problem(f"{at}.{end_key}", says[1](quoted(fields[end_key]))))
    return end, amount or Fraction(0)
