"""Every event of money posts what adds up to nothing; balances are those of double entry.

That debits equal credits is the rule of double-entry bookkeeping (L. Pacioli, Summa de arithmetica, 1494,
treatise XI); from memory.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.documents import Line, TaxPart
from portal.core.money import ledger
from portal.core.money.ledger import Post, Posts, is_balanced
from portal.core.pricing.offer import offer

D = Decimal
amounts = st.integers(0, 10**9).map(lambda count: D(count) / 100)
OFFER = offer(
    [Line("treatment", "Treatment", D("429.20")), Line("second_coat", "Second coat", D("100.80"))],
    "USD", D(5), D("7.25"),
)  # fmt: skip


def balance(posts: Posts, account: str) -> Decimal:
    return sum((post.amount for post in posts if post.account == account), D(0))


def test_an_invoice_asks_for_all_and_earns_by_kind_of_line() -> None:
    posts = ledger.invoiced("i", OFFER)

    assert posts == (
        Post("receivable", D("540.00"), "i"), Post("income: treatment", D("-429.20")),
        Post("income: second_coat", D("-100.80")), Post("income: discount", D("26.50")),
        Post("tax: by the rate book", D("-36.50")),
    )  # fmt: skip
    assert is_balanced(posts)


def test_tax_is_owed_to_whom_it_is_owed() -> None:
    parts = (TaxPart("Larch County", "State", D(6), D("503.50"), D("30.21")),
             TaxPart("Larch County", "County", D(1), D("503.50"), D("5.04")))  # fmt: skip
    taxed = OFFER.__class__(**{f: getattr(OFFER, f) for f in OFFER.__struct_fields__} | {
        "tax": D("35.25"), "total": D("538.75"), "taxes": parts})  # fmt: skip

    posts = ledger.invoiced("i", taxed)

    assert balance(posts, "tax: Larch County") == D("-35.25")
    assert is_balanced(posts)


@given(retained=amounts, deposits=amounts)
def test_what_is_held_back_and_what_was_paid_ahead_are_not_asked_for_now(
    retained: Decimal, deposits: Decimal
) -> None:
    posts = ledger.invoiced("i", OFFER, retained, deposits)

    assert balance(posts, "receivable") == OFFER.total - retained - deposits
    assert is_balanced(posts)


@given(amount=amounts, other=amounts)
@pytest.mark.parametrize(
    "make",
    [
        lambda a, b: ledger.deposit_invoiced("i", a),
        lambda a, b: ledger.received("check", a),
        lambda a, b: ledger.applied("i", a) + ledger.applied("j", -b),
        lambda a, b: ledger.bounced("check", a, [("i", a), ("j", b)]),
        lambda a, b: ledger.refunded("check", a),
        lambda a, b: ledger.written_off("i", a, b),
        lambda a, b: ledger.released("i", a),
        lambda a, b: ledger.taken_for_prompt_payment("i", a),
        lambda a, b: ledger.deposit_credited("i", receivable=a, credit=b),
    ],
)
def test_whatever_happens_adds_up_to_nothing(make: object, amount: Decimal, other: Decimal) -> None:
    posts = make(amount, other)  # type: ignore[operator]

    assert is_balanced(posts)
    assert all(post.amount != 0 for post in posts)


def test_a_credit_note_takes_back_what_was_earned() -> None:
    posts = ledger.credited("i", OFFER, receivable=D(500), retainage=D(30), credit=D(10))

    assert [balance(posts, account) for account in ("receivable", "retainage", "credits")] == [
        D(-500), D(-30), D(-10)
    ]  # fmt: skip
    earned = ledger.invoiced("i", OFFER) + posts
    assert all(balance(earned, account) == 0 for account in {post.account for post in earned[1:5]})


def test_what_bounced_is_open_again_and_the_cash_is_gone() -> None:
    came = ledger.received("check", D(100)) + ledger.applied("i", D(100))

    posts = came + ledger.bounced("check", D(100), [("i", D(100))])

    assert {account: balance(posts, account) for account in ("receivable", "credits", "cash: check")} == {
        "receivable": 0, "credits": 0, "cash: check": 0,
    }  # fmt: skip
