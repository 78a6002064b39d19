"""The next term of a warranty: when it is offered and may be taken up, what it costs, how long it runs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from portal.core.cover.terms import ends_on
from portal.core.documents.parties import Renewal
from portal.core.money.amount import cents


@dataclass(frozen=True, slots=True)
class NextTerm:
    """What may be offered: the last day of the next term, until when it is taken up, and its price."""

    until: date
    last_day: date
    fee: Decimal


def may_be_offered(terms: Renewal | None, ended_on: date | None, made: int, today: date) -> bool:
    """Whether a term that ends on a day is near enough its end, and may be renewed once more.

    `made` is how many times it was renewed before.
    """
    if terms is None or ended_on is None or made >= terms.most:
        return False
    return ended_on - timedelta(days=terms.days_before) <= today <= last_day(terms, ended_on)


def last_day(terms: Renewal, ended_on: date) -> date:
    """The last day on which the next term can be taken up."""
    return ended_on + timedelta(days=terms.days_after)


def runs_through(first_end: date, paid: Iterable[date]) -> date:
    """The last day of a warranty: of the latest term that is paid for, else of its first one.

    In whatever order terms are paid, bounce and are paid again, the day is the same. A later term that was
    paid for holds although an earlier one is owed: what is owed is a debt, and asked for as one.
    """
    return max((first_end, *paid))


def next_term(terms: Renewal, ended_on: date, in_rate_book: Fraction) -> NextTerm:
    """The term after one that ends on a day: it runs on from the day after, whenever it is taken up.

    The rate book's price holds, and never more than the terms named: they promised it. Where the rate book
    names none (0), the terms' fee stands.
    """
    until = ends_on(ended_on + timedelta(days=1), terms.years)
    assert until is not None
    fee = terms.fee if in_rate_book == 0 else min(terms.fee, cents(in_rate_book))
    return NextTerm(until, last_day(terms, ended_on), fee)
