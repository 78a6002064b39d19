"""By which day what an invoice asks for is due: what was held back and released has a day of its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Release:
    """So much of what was held back, released on a day, and due by another."""

    released_on: date
    due_on: date
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Due:
    """So much of what an invoice asks for, due by a day."""

    day: date
    amount: Decimal


def dues(due_on: date, open_: Decimal, releases: Iterable[Release] = ()) -> tuple[Due, ...]:
    """What is open of an invoice by its due days, the first on top; `open_` is without what is held back.

    Payments pay what is due first, so what is still open is what is due last.
    """
    left, found = open_, []
    for release in sorted(releases, key=lambda one: one.due_on, reverse=True):
        part = min(release.amount, left)
        if part > 0:
            found.append(Due(release.due_on, part))
            left -= part
    if left or not found:
        found.append(Due(due_on, left))
    return tuple(sorted(found, key=lambda one: one.day))


def due_by(parts: Iterable[Due], day: date) -> Decimal:
    """What of it is due by a day, that day with it."""
    return sum((part.amount for part in parts if part.day <= day), ZERO)
