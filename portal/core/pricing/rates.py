"""The rate book's figures. The defaults are invented; the office enters its own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from portal.core.errors import BadInput, Problem
from portal.core.fields import Problems, choice, entries, number, within
from portal.core.jsontext import quoted
from portal.core.money.tax_table import Taxing
from portal.core.pricing.rate_rows import (
    MOST_BANDS,
    Band,
    Distance,
    ListedExtra,
    read_bands,
    read_distances,
    read_extras,
)
from portal.core.words import say

CURRENCY = re.compile("[A-Z]{3}")
#: What the slices run over: the feet of each lot by itself, or the sum of the feet of a package.
SLICES_OVER = ("lot", "package")


#: Whose call-out it is where several lots of one subdivision are treated on one day: each pays its own, or
#: the first alone.
SAME_DAY = ("each", "once")


@dataclass(frozen=True, slots=True)
class Rates:
    """A rate book edition: amounts in `currency`, per lineal foot or for the job; percents 0 to 100.

    `slices_over` is one of SLICES_OVER; a lot in no package is priced alike by both. A rate book says what
    holds for every lot: `call_out` where no distance is entered or known, the crawl space where there is one.
    What of it holds for one lot is `site.rates_at`. A lot under `small_lot_feet` has its own minimum charge.
    `taxing` is no part of an edition: the lot's tax, in place of `tax_percent`, where a table or an exemption
    holds for it.
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
    call_out_by_miles: tuple[Distance, ...] = ()
    crawl_space: Fraction = Fraction(0)
    crawl_space_per_foot: Fraction = Fraction(0)
    small_lot_feet: Fraction = Fraction(0)
    small_lot_minimum: Fraction = Fraction(0)
    same_day_call_out: str = "each"
    same_day_off: Fraction = Fraction(0)
    extras: tuple[ListedExtra, ...] = ()
    taxing: Taxing | None = None
    #: For the next term of a warranty, where the terms ask for a fee: the lower of the two; 0 names none.
    renewal: Fraction = Fraction(0)

    def minimum_for(self, feet: Fraction) -> Fraction:
        """The minimum charge of a lot of so many feet."""
        return self.small_lot_minimum if feet < self.small_lot_feet else self.minimum


_AMOUNTS = (
    "minimum", "second_coat_per_foot", "unwrap_per_foot", "call_out", "crawl_space", "crawl_space_per_foot",
    "small_lot_feet", "small_lot_minimum", "same_day_off", "renewal",
)  # fmt: skip
_PERCENTS = ("discount_percent", "tax_percent")
_ROWS = {"bands": read_bands, "call_out_by_miles": read_distances, "extras": read_extras}
_CHOICES = {"slices_over": SLICES_OVER, "same_day_call_out": SAME_DAY}


def read_rates(document: object, at: str = "rates") -> Rates:
    """The rates in `document`; what is left out has its default.

    Raises `BadInput` with all the problems found, their paths beginning with `at`.
    """
    problems: Problems = []
    fields = entries(document, at, problems, (), ("currency", *_ROWS, *_CHOICES, *_AMOUNTS, *_PERCENTS))
    found: dict[str, object] = {}
    if "currency" in fields:
        found["currency"] = _currency(fields["currency"], within(at, "currency"), problems)
    for key, read in _ROWS.items():
        if key in fields:
            found[key] = read(fields[key], within(at, key), problems)
    for key in _AMOUNTS:
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, least=0)
    for key in _PERCENTS:
        if key in fields:
            found[key] = number(fields[key], within(at, key), problems, least=0, most=100)
    for key, choices in _CHOICES.items():
        if key in fields:
            found[key] = choice(fields[key], within(at, key), problems, choices)
    if problems:
        raise BadInput(problems)
    return _fitting(Rates(**found), at)  # type: ignore[arg-type]


def falling(bands: tuple[Band, ...]) -> bool:
    """Whether no band has a higher rate than the one before it."""
    return all(later.per_foot <= band.per_foot for band, later in pairwise(bands))


def _fitting(rates: Rates, at: str) -> Rates:
    """What each figure may be by itself, and together may not: more feet would come to cost less."""
    # Over a package only rates that fall: where they rose, a lot could cost more in one than alone.
    if rates.slices_over == "package" and not falling(rates.bands):
        says = say("over the sum of a package's feet no slice may have a higher rate than the one before it")
        raise BadInput([Problem(within(at, "slices_over"), says)])
    if rates.small_lot_feet and rates.small_lot_minimum > rates.minimum:
        says = say(
            "a small lot's minimum charge is no higher than the usual one, or more feet would cost less"
        )
        raise BadInput([Problem(within(at, "small_lot_minimum"), says)])
    return rates


def _currency(value: object, at: str, problems: Problems) -> str:
    if isinstance(value, str) and CURRENCY.fullmatch(value):
        return value
    problems.append(Problem(at, say("a currency is three capital letters, not {read}", read=quoted(value))))
    return ""


__all__ = [
    "MOST_BANDS", "SAME_DAY", "SLICES_OVER", "Band", "Distance", "ListedExtra", "Rates", "falling",
    "read_rates",
]  # fmt: skip
