"""When a warranty ends, by its terms."""

from __future__ import annotations

from datetime import date


def ends_on(begins: date, years: int | None) -> date | None:
    """The last day of a term of whole years; None where the term is the life of the structure.

    A term that begins on February 29 ends on February 28 of a common year.
    """
    if years is None:
        return None
    try:
        anniversary = begins.replace(year=begins.year + years)
    except ValueError:
        return begins.replace(year=begins.year + years, day=28)
    return date.fromordinal(anniversary.toordinal() - 1)
