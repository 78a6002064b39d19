"""What the ledger comes to: accounts in their order, a trial balance, months to close."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from portal.core.money.ledger import CREDITS, DEPOSITS, PROMPT, RECEIVABLE, RETAINAGE, WRITE_OFFS
from portal.core.words import Said, say

ZERO = Decimal("0.00")

ASSETS, LIABILITIES, INCOME, EXPENSES = "assets", "liabilities", "income", "expenses"
KINDS: dict[str, Said] = {
    ASSETS: say("What is there and what is owed to us"),
    LIABILITIES: say("What we owe"),
    INCOME: say("What was earned"),
    EXPENSES: say("What it cost to be paid"),
}
#: Accounts by name, and by what stands before the colon, in the order in which they are shown.
_KIND = {
    RECEIVABLE: ASSETS, RETAINAGE: ASSETS, "cash": ASSETS,
    CREDITS: LIABILITIES, DEPOSITS: LIABILITIES, "tax": LIABILITIES,
    "income": INCOME, PROMPT: EXPENSES, WRITE_OFFS: EXPENSES,
}  # fmt: skip
_ORDER = {name: place for place, name in enumerate(_KIND)}


def head_of(account: str) -> str:
    """What an account is one of: `tax` of `tax: Marlow County`; of any other, its own name."""
    return account.partition(": ")[0]


def kind_of(account: str) -> str:
    """Which of `KINDS` an account is of. Raises `KeyError` for one that is none of ours."""
    return _KIND[head_of(account)]


def in_order(account: str) -> tuple[int, str]:
    """The key by which accounts are sorted."""
    return _ORDER[head_of(account)], account


@dataclass(frozen=True, slots=True)
class Side:
    """A line of a trial balance: what an account came to, on the side that it is on."""

    account: str
    kind: str
    debit: Decimal
    credit: Decimal


@dataclass(frozen=True, slots=True)
class TrialBalance:
    """Every account that was ever posted to, on a day. Both sides come to the same, or something is wrong."""

    day: date
    lines: tuple[Side, ...]

    @property
    def debit(self) -> Decimal:
        """All debits."""
        return sum((line.debit for line in self.lines), ZERO)

    @property
    def credit(self) -> Decimal:
        """All credits."""
        return sum((line.credit for line in self.lines), ZERO)


def trial_balance(day: date, balances: Mapping[str, Decimal]) -> TrialBalance:
    """The balances of all accounts as a trial balance."""
    return TrialBalance(day, tuple(
        Side(name, kind_of(name), max(balances[name], ZERO), max(-balances[name], ZERO))
        for name in sorted(balances, key=in_order)
    ))  # fmt: skip


def last_day(day: date) -> date:
    """The last day of a day's month."""
    return day.replace(day=monthrange(day.year, day.month)[1])


def month_to_close(closed_through: date | None, first_entry: date | None) -> date | None:
    """The last day of the month that is closed next; None where nothing was ever posted.

    After the first, months are closed one after the other, those without an entry too.
    """
    if closed_through is not None:
        return last_day(closed_through + timedelta(days=1))
    return last_day(first_entry) if first_entry is not None else None


def closing(through: date, entries: int, balances: Mapping[str, Decimal]) -> dict[str, Any]:
    """What is kept of a month as it is closed, as plain data: its fingerprint is taken of this."""
    return {
        "through": through.isoformat(),
        "entries": entries,
        "balances": {name: str(balances[name]) for name in sorted(balances, key=in_order)},
    }


def balances_of(document: Mapping[str, Any]) -> dict[str, Decimal]:
    """The balances that were kept of a closed month."""
    return {name: Decimal(amount) for name, amount in document["balances"].items()}


@dataclass(frozen=True, slots=True)
class Posted:
    """A posting with its entry. `lot_id` is that of the invoice that it is for, where it is for one."""

    seq: int
    entry: int
    event: str
    subject: str
    company: str
    on: date
    happened_on: date
    by: str
    at: datetime
    account: str
    amount: Decimal
    invoice: str | None
    lot_id: str | None
