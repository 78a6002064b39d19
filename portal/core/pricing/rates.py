"""The rate book's figures. The defaults are invented; the office enters its own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from portal.core.errors import BadInput, Problem
from portal.core.fields import Problems, choice, entries, items, number, within
from portal.core.jsontext import quoted
from portal.core.money.tax_table import Taxing
from portal.core.words import say

MOST_BANDS = 12
CURRENCY = re.compile("[A-Z]{3}")
#: What the slices run over: the feet of each lot by itself, or the sum of the feet of a package.
SLICES_OVER = ("lot", "package")


@dataclass(frozen=True, slots=True)
class Band:
    """A slice of the feet: those up to `up_to_feet` (the last slice has no end) at `per_foot`."""

    up_to_feet: Fraction | None
    per_foot: Fraction


@dataclass(frozen=True, slots=True)
class Rates:
    """A rate book edition: amounts in `currency`, per lineal foot or for the job; percents 0 to 100.

    `slices_over` is one of SLICES_OVER; a lot in no package is priced alike by both. `taxing` is no part of
    an edition: the lot's tax, in place of `tax_percent`, where a table or an exemption holds for it.
    """

    currency: str = "USD"
    bands: tuple[Band, ...] = (
        Band(Fraction(300), Fraction(145, 100)),
        Band(Fraction(1000), Fraction(120, 100)),
        Band(None, Fraction(95, 100)),
    )
    minimum: Fraction = Fraction(395)
    second_coat_per_foot: Fraction = Fraction(60, 100)
    unwrap_per_foot: Fraction = Fraction(25, 100)
    call_out: Fraction = Fraction(0)
    discount_percent: Fraction = Fraction(0)
    tax_percent: Fraction = Fraction(0)
    slices_over: str = "lot"
    taxing: Taxing | None = None


_AMOUNTS = ("minimum", "second_coat_per_foot", "unwrap_per_foot", "call_out")
_PERCENTS = ("discount_percent", "tax_percent")


def read_rates(document: object, at: str = "rates") -> Rates:
    """The rates in `document`; what is left out has its default.

    Raises `BadInput` with all the problems found, their paths beginning with `at`.
    """
    problems: Problems = []
    fields = entries(document, at, problems, (), ("currency", "bands", "slices_over", *_AMOUNTS, *_PERCENTS))
    found: dict[str, object] = {}
    if "currency" in fields:
        found["currency"] = _currency(fields["currency"], within(at, "currency"), problems)
    if "bands" in fields:
        found["bands"] = _read_bands(fields["bands"], within(at, "bands"), problems)
    for key in _AMOUNTS:
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, least=0)
    for key in _PERCENTS:
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, least=0, most=100)
    if "slices_over" in fields:
        over = choice(fields["slices_over"], within(at, "slices_over"), problems, SLICES_OVER)
        found["slices_over"] = over
    if problems:
        raise BadInput(problems)
    return _fitting(Rates(**found), at)  # type: ignore[arg-type]


def _fitting(rates: Rates, at: str) -> Rates:
    """Over a package only rates that fall: where they rose, a lot could cost more in one than alone."""
    steps = zip(rates.bands, rates.bands[1:], strict=False)
    if rates.slices_over == "package" and any(later.per_foot > band.per_foot for band, later in steps):
        says = say("over the sum of a package's feet no slice may have a higher rate than the one before it")
        raise BadInput([Problem(within(at, "slices_over"), says)])
    return rates


def _currency(value: object, at: str, problems: Problems) -> str:
    if isinstance(value, str) and CURRENCY.fullmatch(value):
        return value
    problems.append(Problem(at, say("a currency is three capital letters, not {read}", read=quoted(value))))
    return ""


def _read_bands(value: object, at: str, problems: Problems) -> tuple[Band, ...]:
    listed = items(value, at, problems, say("bands"), most=MOST_BANDS)
    found: list[Band] = []
    reached = Fraction(0)
    # With more bands than may be the last one is not to be seen; then that is the only thing told.
    last = len(value) - 1 if isinstance(value, list | tuple) else 0
    for i, one in enumerate(listed):
        band = _read_band(one, f"{at}[{i}]", i == last, reached, problems)
        reached = band.up_to_feet or reached
        found.append(band)
    return tuple(found)


def _read_band(value: object, at: str, last: bool, reached: Fraction, problems: Problems) -> Band:
    if not isinstance(value, dict):
        entries(value, at, problems, ())
        return Band(None, Fraction(0))
    required = ("per_foot",) if last else ("up_to_feet", "per_foot")
    fields = entries(value, at, problems, required, ("up_to_feet",))
    per_foot = (
        number(fields["per_foot"], f"{at}.per_foot", problems, least=0) if "per_foot" in fields else None
    )
    end = None
    if "up_to_feet" in fields and last:
        problems.append(Problem(f"{at}.up_to_feet", say("the last band has no end")))
    elif "up_to_feet" in fields:
        end = number(fields["up_to_feet"], f"{at}.up_to_feet", problems, over=0)
        if end is not None and end <= reached:
            says = say(
                "bands ascend: {read} is not over the band before it", read=quoted(fields["up_to_feet"])
            )
            problems.append(Problem(f"{at}.up_to_feet", says))
    return Band(end, per_foot or Fraction(0))
