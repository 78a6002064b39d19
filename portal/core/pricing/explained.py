"""From what was quoted to what is owed, step by step, to the cent: each step's amount, and why."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from portal.core.documents import LotOnInvoice
from portal.core.pricing.offer import with_lines
from portal.core.words import Said, say

QUOTED = say("As quoted")
DISCOUNT = say("Discount on the differences")
TAX = say("Tax on the differences")
TAXED = say("Taxed otherwise on the day of the invoice")
OWED = say("Owed")


@dataclass(frozen=True, slots=True)
class Step:
    """One step. `says` is a line's own words, or a sentence of the house's; `why` what stands beside it."""

    says: Said | str
    amount: Decimal
    why: str = ""


def explained(part: LotOnInvoice) -> tuple[Step, ...]:
    """The quoted total, every difference, and what discount and tax make of them; all add up to the last.

    Without a difference there is nothing to explain.
    """
    quoted, owed = part.quoted, part.owed
    if quoted.total == owed.total and not part.differences:
        return ()
    taxed_as_quoted = with_lines(quoted, owed.lines).tax
    effects = (
        Step(DISCOUNT, quoted.discount - owed.discount),
        Step(TAX, taxed_as_quoted - quoted.tax),
        Step(TAXED, owed.tax - taxed_as_quoted),
    )
    return (
        Step(QUOTED, quoted.total, part.quote),
        *(Step(line.label, line.amount, line.why) for line in part.differences),
        *(step for step in effects if step.amount),
        Step(OWED, owed.total),
    )


def adds_up(steps: tuple[Step, ...]) -> bool:
    """Whether the steps before the last come to it."""
    return not steps or sum(step.amount for step in steps[:-1]) == steps[-1].amount
