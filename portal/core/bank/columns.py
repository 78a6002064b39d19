"""The columns of a bank's list: what each is called, and by what other names people know it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from portal.core.errors import Problem
from portal.core.sheets.columns import Column, bare
from portal.core.words import say

NOT_USED = ""

COLUMNS = (
    Column("day", say("Day"), say("When it was booked."),
           ("date", "booking date", "posting date", "posted", "posted on", "transaction date", "booked on",
            "value date")),
    Column("amount", say("Amount"), say("With a minus for what left the account."),
           ("amount usd", "sum", "value", "transaction amount", "amount in usd", "net amount")),
    Column("in", say("Came in"), say("Where what came stands in a column of its own."),
           ("credit", "credits", "deposit", "deposits", "paid in", "money in", "credit amount", "received",
            "deposit amount")),
    Column("out", say("Went out"), say("Where what left stands in a column of its own."),
           ("debit", "debits", "withdrawal", "withdrawals", "paid out", "money out", "debit amount",
            "payment", "payments", "withdrawal amount")),
    Column("text", say("Text"), say("What the bank says of it: who paid, and what for."),
           ("description", "details", "memo", "narrative", "payee", "name", "payment details", "purpose",
            "transaction", "remittance information", "booking text")),
    Column("more", say("More text"), say("A second column of words."),
           ("reference", "ref", "note", "notes", "additional information", "message", "end to end id")),
    Column("check", say("Check number"), say("Where it stands in a column of its own."),
           ("check", "check no", "check #", "cheque number", "check or slip")),
)  # fmt: skip
BY_KEY = {column.key: column for column in COLUMNS}
_KNOWN = {bare(name): one.key for one in COLUMNS for name in (str(one.label), *one.names)}
#: All that is known by name, so that a header can be told from what stands above it.
FURTHER = frozenset(bare(name) for name in ("balance", "type", "currency", "account", "running balance"))


def known(header: str) -> str:
    """The column that a header means by itself, or `NOT_USED`."""
    return _KNOWN.get(bare(header), NOT_USED)


def knows(header: str) -> bool:
    """Whether this is what a bank calls a column."""
    return bool(bare(header)) and (known(header) != NOT_USED or bare(header) in FURTHER)


def guessed(headers: Sequence[str], remembered: Mapping[str, str]) -> list[str]:
    """A column, or none, for each header. `remembered` is what was said of `bare` headers before."""
    taken: set[str] = set()
    found = []
    for header in headers:
        said = remembered.get(bare(header))
        column = said if said is not None else known(header)
        column = column if column in BY_KEY and column not in taken else NOT_USED
        taken.add(column)
        found.append(column)
    return found


def naming_problems(headers: Sequence[str], naming: Sequence[str]) -> list[Problem]:
    """What is wrong with a naming: one of ours given twice, or what every line needs not given."""
    problems, first = [], dict[str, int]()
    for number, column in enumerate(naming):
        if column in first:
            says = say("{column} is named already: {header}.", column=BY_KEY[column].label,
                       header=headers[first[column]] or number)  # fmt: skip
            problems.append(Problem(f"column-{number}", says))
        elif column != NOT_USED:
            first[column] = number
    if "day" not in first:
        problems.append(Problem("", say("No column is named Day, and every line needs it.")))
    if "amount" not in first and "in" not in first:
        problems.append(Problem("", say("No column is named Amount or Came in, and every line needs one.")))
    if "amount" in first and first.keys() & {"in", "out"}:
        says = say("Amount, or Came in and Went out: not all of them.")
        problems.append(Problem(f"column-{first['amount']}", says))
    return problems
