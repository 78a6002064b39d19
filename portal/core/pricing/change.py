"""One thing that changed between two revisions of a quote, and what a revision is compared by."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from portal.core.documents import QuoteDocument
from portal.core.pricing.rates import Rates

NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Version:
    """A revision, and the rates it was priced by."""

    document: QuoteDocument
    rates: Rates


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that changed, and what it alone comes to.

    `kind` is one of `revised.GROUPS`. `name` is the label of a wall or an extra line, or the key of a rate.
    `before` and `after` are feet, the siding's status, an amount or a percentage; None where there was none.
    A band has its feet as `span`.
    """

    kind: str
    name: str = ""
    story: str = ""
    before: Decimal | str | None = None
    after: Decimal | str | None = None
    span: tuple[Fraction, Fraction | None] | None = None
    amount: Decimal = NOTHING
