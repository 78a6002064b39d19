"""Tax by a jurisdiction's table, from the exact product, half away from zero.

The discount comes off before tax. It is spread over the lines by their amounts: each line gets the whole
cents of its share, and the cents left over go to the largest remainders, of equal ones to the earlier line.
So what is taxable is an amount to the cent, and the shares add up to the discount. Of that amount, or of each
line's where the table rounds by line, the percentage is rounded once: of all parts together, or of each part
by itself where the table keeps them apart. What was rounded together is shared out to the parts likewise.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from math import floor

from portal.core.money.amount import cents, from_cents, in_cents
from portal.core.money.tax_table import TaxPart, TaxTable

ROUNDINGS = ("invoice", "line")
ZERO = Decimal("0.00")


def taxes(lines: Iterable[tuple[str, Decimal]], discount: Decimal, table: TaxTable) -> tuple[TaxPart, ...]:
    """The parts of the tax on lines, each a kind and an amount to the cent, less a discount on all."""
    kept = tuple(lines)
    off = spread(discount, [amount for _kind, amount in kept])
    net = [
        amount - less
        for (kind, amount), less in zip(kept, off, strict=True)
        if kind not in table.untaxed
    ]  # fmt: skip
    taxable = sum(net, ZERO)
    rounded = net if table.rounding == "line" else [taxable]
    return tuple(
        TaxPart(table.jurisdiction, rate.name, rate.percent, taxable, amount)
        for rate, amount in zip(table.rates, _by_rate(rounded, table), strict=True)
    )


def _by_rate(amounts: Sequence[Decimal], table: TaxTable) -> list[Decimal]:
    """What each rate comes to on these amounts, each of which is rounded by itself."""
    percents = [rate.percent for rate in table.rates]
    if table.apart:
        return [sum((percent_of(one, percent) for one in amounts), ZERO) for percent in percents]
    together = sum((percent_of(one, table.percent) for one in amounts), ZERO)
    return list(shared_out(together, percents))


def percent_of(amount: Decimal, percent: Decimal) -> Decimal:
    """A percentage, rounded once from the exact product, half away from zero."""
    return cents(Fraction(amount) * Fraction(percent) / 100)


def spread(discount: Decimal, amounts: Sequence[Decimal]) -> tuple[Decimal, ...]:
    """Each line's share of a discount on their sum; the shares add up to it."""
    return shared_out(discount, amounts)


def shared_out(whole: Decimal, weights: Sequence[Decimal | Fraction]) -> tuple[Decimal, ...]:
    """An amount to the cent, shared out by weights in whole cents: the largest remainders first.

    Raises `ValueError` where there is something to share, and nothing to share it by.
    """
    total, count = sum((Fraction(weight) for weight in weights), Fraction(0)), in_cents(Fraction(whole))
    if not total:
        if count:
            raise ValueError("an amount cannot be shared out by weights that come to nothing")
        return (ZERO,) * len(weights)
    exact = [count * Fraction(weight) / total for weight in weights]
    given = [floor(share) for share in exact]
    by_remainder = sorted(range(len(weights)), key=lambda i: given[i] - exact[i])
    for i in by_remainder[: count - sum(given)]:
        given[i] += 1
    return tuple(from_cents(one) for one in given)
