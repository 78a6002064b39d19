"""Totals of an offer or an invoice, and how far an invoice is paid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from portal.core.errors import BadInput, Problem
from portal.core.money.amount import cents
from portal.core.words import say

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Totals:
    """Sums to the cent. `discount` is positive and is taken off; `tax` is on what is left."""

    subtotal: Decimal
    discount: Decimal
    tax: Decimal
    total: Decimal


def totals(amounts: Iterable[Decimal], discount_percent: Decimal, tax_percent: Decimal) -> Totals:
    """Add up line amounts; round discount and tax once each, half away from zero, from the exact product."""
    subtotal = cents(sum(amounts, ZERO))
    discount = cents(subtotal * discount_percent / 100)
    tax = cents((subtotal - discount) * tax_percent / 100)
    return Totals(subtotal, discount, tax, subtotal - discount + tax)


def state_after(total: Decimal, still_open: Decimal, credited: Decimal, written_off: bool) -> str:
    """The state of an invoice by what is still open of it, and by what took the rest away."""
    if credited == total and still_open <= 0 and total > 0:
        return "credited"
    if still_open <= 0:
        return "written off" if written_off else "paid"
    return "part paid" if still_open < total else "issued"


def read_amount(typed: str, at: str = "amount") -> Decimal:
    """Dollars and cents as people type them ("$1,250.00", "1250"). Raises `BadInput`."""
    bare = typed.strip().removeprefix("$").strip()
    if not bare:
        raise BadInput([Problem(at, say("Enter an amount: 1250 or 1,250.00."))])
    whole, dot, part = bare.partition(".")
    groups = whole.split(",")
    grouped = len(groups) == 1 or (1 <= len(groups[0]) <= 3 and all(len(g) == 3 for g in groups[1:]))
    digits = whole.replace(",", "")
    good = digits.isascii() and digits.isdigit() and len(digits) <= 9 and grouped
    if not good or (dot and not (part.isascii() and part.isdigit() and len(part) in (1, 2))):
        raise BadInput(
            [Problem(at, say("“{read}” is no amount of money; write 1250 or 1,250.00.", read=typed[:40]))]
        )
    return cents(f"{digits}.{part or 0}")


def number_of(prefix: str, year: int, count: int) -> str:
    """The number of a paper in its yearly series: INV-2026-0007."""
    return f"{prefix}-{year}-{count:04d}"
