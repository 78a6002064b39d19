"""What comes off a lot where another one of its subdivision was treated before it on the same day.

The way there is driven once. The price is agreed before the day is known, so a quote says what would come
off, and the invoice takes it off where it came so: for each lot that is marked treated after the first.
It only ever takes off, and the minimum charge holds all the same.
"""

from __future__ import annotations

from decimal import Decimal

from portal.core.money.amount import cents
from portal.core.pricing.rates import Rates


def same_day_off(rates: Rates) -> Decimal:
    """By the rates of a lot: its call-out, where the first lot's stands for all, and so much beside."""
    call_out = rates.call_out if rates.same_day_call_out == "once" else 0
    return cents(call_out) + cents(rates.same_day_off)
