"""A builder's statement, frozen when it is made: what its account came to, line by line, from the ledger."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from msgspec import Struct

from portal.core.documents.parties import Builder, Firm
from portal.core.money.ageing import Ageing


class StatementLine(Struct, frozen=True):
    """An event on the builder's account. `amount` is owed where it is over zero, paid or let off under it.

    `event` is as the ledger names it, `number` its paper or reference, `about` the lot or invoices.
    `balance` is what was owed after it.
    """

    day: date
    event: str
    number: str
    about: str
    amount: Decimal
    balance: Decimal


class OpenInvoice(Struct, frozen=True):
    """An invoice of which something was open on the statement's last day. `days`: past its due day."""

    number: str
    lot: str
    issued_on: date
    due_on: date
    days: int
    open: Decimal


class StatementDocument(Struct, frozen=True):
    """All that a statement says. `closing` is what is open less what the builder has to its credit.

    What is held back until it is released (`held_back`) stands apart and is in none of the balances.
    """

    number: str
    builder: Builder
    office: Firm
    currency: str
    first: date
    last: date
    made_on: date
    opening: Decimal
    lines: tuple[StatementLine, ...]
    closing: Decimal
    open: tuple[OpenInvoice, ...]
    ageing: Ageing
    credit: Decimal
    held_back: Decimal
    pay_to: str
