"""The books as a plain-text double-entry file, of the kind that general accounting programs read.

Our accounts are named anew there by a rule that the file itself states: the kind of account, then its own
name, part by part; letters and digits stay, all else becomes a hyphen, each part begins with a capital.
Where two come out the same, the one used later gets -2, and so on. The ledger only grows, so that an
account keeps its name in every file that is ever written.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import groupby

from portal.core.money.books import Posted, in_order, kind_of

WIDTH = 58


def account_names(in_order_of_use: Iterable[str]) -> dict[str, str]:
    """The name of each account in the file, by its own name."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for account in in_order_of_use:
        kind, parts = kind_of(account).capitalize(), [_part(words) for words in account.split(": ", 1)]
        plain = name = ":".join((kind, *(parts[1:] if parts[0] == kind else parts)))
        count = 1
        while name in taken:
            count += 1
            name = f"{plain}-{count}"
        taken.add(name)
        names[account] = name
    return names


def _part(words: str) -> str:
    bare = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode()
    name = re.sub(r"[^A-Za-z0-9]+", "-", bare).strip("-")
    return name[:1].upper() + name[1:] if name else "Other"


def _quoted(words: str) -> str:
    shown = "".join(one if one.isprintable() else " " for one in words)
    bare = " ".join(shown.split()).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{bare}"'


def _linked(words: str) -> str:
    return re.sub(r"[^A-Za-z0-9/._-]+", "-", unicodedata.normalize("NFKD", words)).strip("-")


def _amount(name: str, amount: Decimal, currency: str) -> str:
    return f"{name:<{WIDTH}} {amount:>14} {currency}"


def plain_text(
    title: str, currency: str, through: date, accounts: Sequence[tuple[str, date]],
    postings: Iterable[Posted], balances: Mapping[str, Decimal],
) -> Iterator[str]:  # fmt: skip
    """The lines of the file: accounts opened, every entry, and what each account must come to at the end.

    `accounts` are in the order of their first posting, with the first day they were posted for.
    """
    names = account_names(account for account, _day in accounts)
    yield from (
        f"; {' '.join(title.split())}: all entries through {through}.",
        "; Debits are over zero, credits under it. Each account carries its own name as `name`: the kind of",
        "; account comes first, letters and digits stay, all else becomes a hyphen, and where two come out",
        "; the same, the one used later is numbered.",
        f"option \"title\" {_quoted(title)}",
        f"option \"operating_currency\" \"{currency}\"",
        "",
    )  # fmt: skip
    for account, day in sorted(accounts, key=lambda one: in_order(one[0])):
        if account in balances:  # of an account used only later there is nothing to tell yet
            yield f"{day} open {names[account]:<{WIDTH - 13}} {currency}"
            yield f"  name: {_quoted(account)}"
    for _seq, rows in groupby(postings, key=lambda row: row.entry):
        yield ""
        yield from _entry(list(rows), names, currency)
    yield ""
    for account in sorted(balances, key=in_order):
        yield _amount(f"{through + timedelta(days=1)} balance {names[account]}", balances[account], currency)


def _entry(rows: Sequence[Posted], names: Mapping[str, str], currency: str) -> Iterator[str]:
    first = rows[0]
    subject = _linked(first.subject)
    links = f" ^{subject}" if subject else ""
    told = _quoted(f"{first.event}: {first.subject}")
    yield f"{first.on} * {_quoted(first.company)} {told} #{_linked(first.event)}{links}"
    yield f"  entry: {_quoted(str(first.entry))}"
    yield f"  entered-by: {_quoted(first.by)}"
    if first.happened_on != first.on:
        yield f"  happened-on: {first.happened_on}"
    for row in rows:
        yield "  " + _amount(names[row.account], row.amount, currency)
        if row.invoice:
            yield f"    invoice: {_quoted(row.invoice)}"
