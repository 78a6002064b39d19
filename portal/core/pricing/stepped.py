"""From the feet and rates of one quote to those of another, one change at a time, priced after each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import chain

from portal.core.money.amount import rounded
from portal.core.pricing.change import NOTHING, Change, Version
from portal.core.pricing.lines import price
from portal.core.pricing.matched import Pair, interiors, matched, paired
from portal.core.pricing.rates import Band, Rates

NO_FEET = Fraction(0)


@dataclass(frozen=True, slots=True)
class _Feet:
    """What the engine prices by."""

    total: Fraction = NO_FEET
    sided: Fraction = NO_FEET
    wrapped: Fraction = NO_FEET

    def __add__(self, other: _Feet) -> _Feet:
        return _Feet(self.total + other.total, self.sided + other.sided, self.wrapped + other.wrapped)


def _wall(length: Fraction, status: str) -> _Feet:
    return _Feet(length, length if status == "sided" else NO_FEET, length if status == "wrapped" else NO_FEET)


def by_the_foot(old: Version, new: Version) -> Iterator[Change]:
    """What changes in the lines that follow from feet and rates, the call-out among them."""
    feet = feet_of(old)
    first = reached = _charged(feet, old.rates)
    for change, more, rates in _steps(old, new):
        feet += more
        now = _charged(feet, rates)
        yield replace(change, amount=now - reached)
        reached = now
    # What a quote has in these lines beside its own feet and rates, such as slices shared with other lots.
    before, after = engine_lines(old) - first, engine_lines(new) - reached
    if before != after:
        yield Change("rest", before=before, after=after, amount=after - before)


def engine_lines(version: Version) -> Decimal:
    """What a quote charges before the minimum charge, extra lines, discount and tax."""
    lines = version.document.offer.lines
    return sum((line.amount for line in lines if line.what not in ("extra", "minimum")), NOTHING)


def feet_of(version: Version) -> _Feet:
    """The feet that a quote was priced by."""
    walls = (_wall(Fraction(wall.exact), wall.status) for wall in version.document.walls)
    return sum(walls, _Feet(_inside(version)))


def _inside(version: Version) -> Fraction:
    return sum((feet for _story, feet in interiors(version.document.house)), NO_FEET)


def _charged(feet: _Feet, rates: Rates) -> Decimal:
    lines = price(feet.total, feet.sided, feet.wrapped, rates).lines
    return sum((line.amount for line in lines if line.what != "minimum"), NOTHING)


def _steps(old: Version, new: Version) -> Iterator[tuple[Change, _Feet, Rates]]:
    """Each change, the feet that come with it, and the rates that hold from it on."""
    pairs = matched(old.document.walls, new.document.walls)
    for change, more in chain(_lengths(pairs), _interiors(old, new), _sidings(pairs)):
        yield change, more, old.rates
    walls = sum((Fraction(wall.exact) for wall in new.document.walls), NO_FEET)
    for change, rates in _rates(old.rates, new.rates, walls + _inside(new)):
        yield change, _Feet(), rates


def _lengths(pairs: tuple[Pair, ...]) -> Iterator[tuple[Change, _Feet]]:
    """Walls that are longer, shorter, gone, or new; each with the siding it had, or comes with."""
    for before, after in pairs:
        had, has = (Fraction(wall.exact) if wall else NO_FEET for wall in (before, after))
        wall, called = before or after, after or before
        if wall and called and had != has:
            change = Change("wall", called.label, called.story, before=before.feet if before else None,
                            after=after.feet if after else None)  # fmt: skip
            yield change, _wall(has - had, wall.status)


def _interiors(old: Version, new: Version) -> Iterator[tuple[Change, _Feet]]:
    for story, before, after in paired(interiors(old.document.house), interiors(new.document.house)):
        if before != after:
            change = Change("interior", story=story, before=_shown(before), after=_shown(after))
            yield change, _Feet((after or NO_FEET) - (before or NO_FEET))


def _sidings(pairs: tuple[Pair, ...]) -> Iterator[tuple[Change, _Feet]]:
    for before, after in pairs:
        if before and after and before.status != after.status:
            length = Fraction(after.exact)
            change = Change("siding", after.label, after.story, before.status, after.status)
            yield change, _wall(-length, before.status) + _wall(length, after.status)


def _rates(old: Rates, new: Rates, feet: Fraction) -> Iterator[tuple[Change, Rates]]:
    """Slice by slice of the bands as far as the feet go, then each rate beside them."""
    slices = [one for one in _slices(old.bands, new.bands) if one[0] < feet or one[0] == 0]
    for i, (start, end, before, after) in enumerate(slices):
        if before != after:
            rates = replace(old, bands=_bands(slices, i))
            yield Change("band", before=_exact(before), after=_exact(after), span=(start, end)), rates
    rates = replace(old, bands=new.bands)
    for key in ("second_coat_per_foot", "unwrap_per_foot", "crawl_space", "crawl_space_per_foot", "call_out"):
        was, now = getattr(old, key), getattr(new, key)
        if was != now:
            rates = replace(rates, **{key: now})
            yield Change("rate", key, before=_exact(was), after=_exact(now)), rates


_Slice = tuple[Fraction, Fraction | None, Fraction, Fraction]


def _slices(old: tuple[Band, ...], new: tuple[Band, ...]) -> list[_Slice]:
    """The slices of both: where each starts and ends, its rate then and now. Neighbors alike are one."""
    ends = sorted({band.up_to_feet for band in (*old, *new) if band.up_to_feet is not None})
    found: list[_Slice] = []
    start = NO_FEET
    for end in (*ends, None):
        rates = (_rate_at(start, old), _rate_at(start, new))
        if found and found[-1][2:] == rates:
            start = found.pop()[0]
        found.append((start, end, *rates))
        start = end or start
    return found


def _rate_at(feet: Fraction, bands: tuple[Band, ...]) -> Fraction:
    return next(band.per_foot for band in bands if band.up_to_feet is None or feet < band.up_to_feet)


def _bands(slices: list[_Slice], reached: int) -> tuple[Band, ...]:
    """The new rates up to a slice, the old ones behind it; no feet are beyond the last."""
    rates = [after if i <= reached else before for i, (_start, _end, before, after) in enumerate(slices)]
    ends = [end for _start, end, _before, _after in slices[:-1]]
    return tuple(Band(end, rate) for end, rate in zip((*ends, None), rates, strict=True))


def _exact(value: Fraction) -> Decimal:
    """A rate as entered: a decimal, so nothing is lost."""
    return Decimal(value.numerator) / Decimal(value.denominator)


def _shown(feet: Fraction | None) -> Decimal | None:
    return None if feet is None else rounded(feet, 2)
