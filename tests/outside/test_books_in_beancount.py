"""The plain-text export, read by a program of somebody else's: it must balance, and say what we say.

Source of every check here: the package `beancount` (from the package index, by its own parser, its own
bookings and its own balance checks). It shares no code with ours.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from itertools import count

import pytest
from beancount import loader
from beancount.core import data, realization
from hypothesis import given, settings
from hypothesis import strategies as st

from portal.acts import books
from portal.core.money import ledger
from portal.core.money.books import Posted, kind_of, trial_balance
from portal.core.money.plain_text import account_names, plain_text
from tests.parts.house import House

pytestmark = pytest.mark.slow

DAY = date(2027, 5, 4)


def read(text: str) -> tuple[list[data.Directive], dict[str, Decimal]]:
    """What beancount makes of a file: its directives, and each account's balance by our own name of it."""
    entries, errors, _options = loader.load_string(text)
    assert errors == [], [error.message for error in errors]
    own = {one.account: one.meta["name"] for one in entries if isinstance(one, data.Open)}
    root = realization.realize(entries)
    found = {}
    for account, name in own.items():
        real = realization.get(root, account)
        held = realization.compute_balance(real).get_currency_units("USD") if real is not None else None
        found[name] = held.number if held is not None and held.number else Decimal(0)
    return entries, found


@pytest.mark.slow
def test_the_house_s_own_books_balance_there_and_come_to_the_same(lite: House) -> None:
    lite.paid()
    lot = lite.treated()
    lite.pay(lot, "100.10", method="bank transfer", reference='“Tr. 9\\7” "x"')
    lite.clock.turn_to(date(2027, 6, 2))
    lite.pay(lot, "50")

    for day, transactions in ((date(2027, 5, 31), 4), (date(2027, 6, 2), 5)):
        entries, found = read(books.plain_file(lite.parts, lite.office, day))
        ours = books.look(lite.parts, lite.office, day).trial
        assert found == {line.account: line.debit - line.credit for line in ours.lines}
        assert sum(isinstance(one, data.Transaction) for one in entries) == transactions
        assert sum(isinstance(one, data.Balance) for one in entries) == len(ours.lines) > 5


@pytest.mark.slow
def test_an_entry_carries_its_paper_its_builder_and_who_entered_it(lite: House) -> None:
    lot = lite.treated()
    number = lite.invoice(lot).document.number

    entries, _found = read(books.plain_file(lite.parts, lite.office, DAY))

    [entry] = [one for one in entries if isinstance(one, data.Transaction)]
    assert (entry.date, entry.payee, entry.narration) == (DAY, "Harrow & Finch Homes", f"invoiced: {number}")
    assert (entry.links, entry.tags, entry.meta["entered-by"]) == ({number}, {"invoiced"}, "Wendell Pike")
    assert {posting.meta.get("invoice") for posting in entry.postings} == {None, number}
    assert {posting.account for posting in entry.postings} >= {"Assets:Receivable", "Income:Treatment"}


ACCOUNTS = st.one_of(
    st.sampled_from((ledger.RECEIVABLE, ledger.RETAINAGE, ledger.CREDITS, ledger.DEPOSITS, ledger.WRITE_OFFS,
                     ledger.PROMPT)),
    st.text(max_size=12).map(ledger.tax), st.text(min_size=1, max_size=8).map(ledger.cash),
)  # fmt: skip
WORDS = st.text(max_size=12)


@st.composite
def ledgers(draw: st.DrawFn) -> list[Posted]:
    """Balanced entries with any words in them, on any accounts, on accounts named by whoever."""
    rows, seq, day = [], count(1), DAY
    for entry in range(1, draw(st.integers(1, 6)) + 1):
        day += timedelta(days=draw(st.integers(0, 20)))
        amounts = draw(st.lists(st.decimals("-99999.99", "99999.99", places=2), min_size=1, max_size=4))
        amounts.append(-sum(amounts, Decimal(0)))
        said = {name: draw(WORDS) for name in ("subject", "company", "by")}
        moment = datetime(2027, 5, 4, tzinfo=UTC)
        rows += [
            Posted(
                next(seq), entry, draw(st.sampled_from(ledger.EVENTS)), said["subject"], said["company"], day,
                DAY, said["by"], moment, draw(ACCOUNTS), amount, draw(st.none() | WORDS), None,
            )
            for amount in amounts
        ]  # fmt: skip
    return rows


@settings(max_examples=150)
@given(ledgers())
def test_whatever_is_posted_and_however_it_is_called_it_is_read_and_balances(rows: list[Posted]) -> None:
    first: dict[str, date] = {}
    balances: dict[str, Decimal] = {}
    for row in rows:
        first.setdefault(row.account, row.on)
        balances[row.account] = balances.get(row.account, Decimal(0)) + row.amount

    lines = plain_text("Trestle", "USD", rows[-1].on, list(first.items()), rows, balances)
    entries, _found = read("\n".join(lines) + "\n")

    names = account_names(first)
    assert len(set(names.values())) == len(first)
    posted: dict[str, Decimal] = {}
    for one in entries:
        for posting in one.postings if isinstance(one, data.Transaction) else ():
            posted[posting.account] = posted.get(posting.account, Decimal(0)) + posting.units.number
    assert posted == {names[account]: amount for account, amount in balances.items()}


def test_two_accounts_that_would_be_called_alike_are_told_apart_by_which_came_first() -> None:
    used = ["tax: St. Ives", "tax: St Ives", "tax: ST IVES", "tax: Ünter Örtchen", "tax: 東", "cash: check"]

    assert list(account_names(used).values()) == [
        "Liabilities:Tax:St-Ives", "Liabilities:Tax:St-Ives-2", "Liabilities:Tax:ST-IVES",
        "Liabilities:Tax:Unter-Ortchen", "Liabilities:Tax:Other", "Assets:Cash:Check",
    ]  # fmt: skip
    assert list(account_names(used[:1]).values()) == ["Liabilities:Tax:St-Ives"]  # as in every later file


def test_every_account_of_the_ledger_has_a_kind_and_so_a_place_in_the_file() -> None:
    named = [
        value for name, value in vars(ledger).items()
        if isinstance(value, str) and re.fullmatch(r"[A-Z_]+", name)
    ]  # fmt: skip
    named += [ledger.cash("check"), ledger.income("treatment"), ledger.tax(""), ledger.tax("Marlow: Town")]

    assert len({kind_of(name) for name in named}) == 4
    assert sum(line.debit for line in trial_balance(DAY, dict.fromkeys(named, Decimal(1))).lines) == len(
        named
    )
