"""A company's own rule: over which amount a quote takes two people's yes."""

from __future__ import annotations

from decimal import Decimal

from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.trail import note
from portal.core.money.invoice import read_amount
from portal.store import people


def second_over(parts: Parts, who: Actor) -> Decimal | None:
    """The amount over which this builder's company wants two people; None where one is always enough."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        return people.company(work, who.company_id or "").second_over


def set_second_over(parts: Parts, who: Actor, amount: str) -> Decimal | None:
    """Have every quote over an amount take two people's yes; with nothing typed, one is always enough."""
    must_be(who, "builder")
    must_have(who, "people")
    over = read_amount(amount, "second_over") if amount.strip() else None
    with parts.store.writing() as work:
        company = people.locked_company(work, who.company_id or "")
        if company.second_over != over:
            company.second_over = over
            note(work, who, "second person", company.name, amount="" if over is None else str(over))
    return over
