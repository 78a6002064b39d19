"""How a builder is billed: in which stages, when it is due, what paying soon takes off, what is held back.

Agreed in the quote, which freezes it. Plain dataclasses, because documents keep them and others reckon by
them: whoever takes a payment asks here what paying soon lets off, and until when.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from portal.core.money.tax import percent_of

ZERO = Decimal("0.00")

#: From when the days run: from the day of the invoice, or from the last day of its month.
RUNS_FROM = ("issue", "month end")
#: For what there is an invoice: for each lot as it is treated, or for a package once all of it is.
STAGES = ("lot", "package")


@dataclass(frozen=True, slots=True)
class BillingTerms:
    """What was agreed. Percents as entered; 0 where there is no such thing.

    `prompt_percent` comes off what an invoice asks for where it is paid within `prompt_days` of its issue.
    `deposit_percent` is of the quote's total, asked for when it is accepted. `retained_percent` of an
    invoice's total is held back until it is released, and no more than `retained_most` where there is a most.
    """

    days: int
    runs_from: str = "issue"
    prompt_percent: Decimal = Decimal(0)
    prompt_days: int = 0
    deposit_percent: Decimal = Decimal(0)
    per: str = "lot"
    retained_percent: Decimal = Decimal(0)
    retained_most: Decimal | None = None

    @property
    def has_prompt(self) -> bool:
        """Whether paying soon takes something off."""
        return self.prompt_percent > 0


@dataclass(frozen=True, slots=True)
class PromptPayment:
    """What paying soon takes off: until which day, that day included, and how much."""

    until: date
    amount: Decimal


def due_on(terms: BillingTerms, issued_on: date) -> date:
    """The day an invoice falls due: so many days after its issue, or after the last day of its month."""
    start = issued_on if terms.runs_from == "issue" else end_of_month(issued_on)
    return start + timedelta(days=terms.days)


def end_of_month(day: date) -> date:
    """The last day of a day's month."""
    return (day.replace(day=1) + timedelta(days=31)).replace(day=1) - timedelta(days=1)


def prompt_payment(terms: BillingTerms, issued_on: date, asked: Decimal) -> PromptPayment | None:
    """What paying soon takes off `asked`: an invoice's total less what is held back and paid ahead.

    None where the terms let nothing off. Half a cent goes to the builder: it is rounded away from zero.
    """
    if not terms.has_prompt or asked <= 0:
        return None
    off = percent_of(asked, terms.prompt_percent)
    return PromptPayment(issued_on + timedelta(days=terms.prompt_days), off)


def deposit_of(terms: BillingTerms, total: Decimal) -> Decimal:
    """What is asked for when a quote of this total is accepted."""
    return percent_of(max(total, ZERO), terms.deposit_percent)


def retained_of(terms: BillingTerms, total: Decimal) -> Decimal:
    """How much of an invoice's total is held back."""
    held = percent_of(max(total, ZERO), terms.retained_percent)
    return held if terms.retained_most is None else min(held, terms.retained_most)
