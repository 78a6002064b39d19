"""A bookkeeper's month, from the first invoice to the closing: what a person checks against the paper pile.

The sums are worked out here by hand, from the amounts on the papers, and not asked of the ledger.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from portal.acts import books, bouncing, closing, crediting, paying, upkeep, using_credit
from portal.acts.paying import Typed
from tests.parts.house import House

pytestmark = pytest.mark.slow

MAY = date(2027, 5, 31)


def balances(house: House, day: date) -> dict[str, Decimal]:
    """The trial balance, debits over zero."""
    trial = books.look(house.parts, house.office, day).trial
    assert trial.debit == trial.credit
    return {line.account: line.debit - line.credit for line in trial.lines}


def test_a_month_is_kept_from_the_first_invoice_to_its_closing(lite: House) -> None:
    house, parts, office = lite, lite.parts, lite.office
    company = house.builder.company_id or ""

    # May 4: two lots treated and billed. 505.15 of work each and 35.36 of tax, by hand: 540.51.
    first, second = house.treated(), house.treated()
    total = house.open_of(first)
    assert total == house.open_of(second) == Decimal("540.51")

    # May 10: a check of 900.00 for both, oldest first: the second stays open with 181.02.
    house.clock.turn_to(date(2027, 5, 10))
    check = paying.receive_payment(
        parts, office, company, Typed("900.00", "check", "4417", parts.today()), house.key()
    )
    assert (house.open_of(first), house.open_of(second)) == (Decimal("0.00"), Decimal("181.02"))

    # May 17: it bounces. May 19: a transfer of 1,100.00, of which 18.98 is more than is open, and is kept.
    house.clock.turn_to(date(2027, 5, 17))
    bouncing.bounce(parts, office, check, "bounced", parts.today(), "No funds.", house.key())
    assert house.open_of(first) + house.open_of(second) == Decimal("1081.02")
    house.clock.turn_to(date(2027, 5, 19))
    paying.receive_payment(
        parts, office, company, Typed("1100.00", "bank transfer", "T 9", parts.today(), keep="18.98"),
        house.key(),
    )  # fmt: skip

    # May 24: the second is credited whole; the builder now has 18.98 and 540.51. May 26: 500.00 is refunded.
    house.clock.turn_to(date(2027, 5, 24))
    crediting.credit(parts, office, house.invoice(second).id, {}, True, "Billed twice.", house.key())
    house.clock.turn_to(date(2027, 5, 26))
    using_credit.refund(
        parts, office, company, "500.00", "bank transfer", "R 1", parts.today(), "Asked for it.", house.key()
    )

    # What the month must come to, by hand.
    assert {name: sum_ for name, sum_ in balances(house, MAY).items() if not name.startswith("income")} == {
        "receivable": Decimal("0.00"), "cash: check": Decimal("0.00"),
        "cash: bank transfer": Decimal("600.00"), "credits": Decimal("-59.49"),
        "tax: by the rate book": Decimal("-35.36"),
    }  # fmt: skip
    earned = sum(v for name, v in balances(house, MAY).items() if name.startswith("income"))
    assert earned == Decimal("-505.15")  # 600.00 of cash less 59.49 of credit less 35.36 of tax
    _since, _until, [tax] = books.tax_owed(parts, office, date(2027, 5, 1), MAY)
    assert (tax.before, tax.billed, tax.taken_back, tax.after) == (
        Decimal("0.00"), Decimal("70.72"), Decimal("35.36"), Decimal("35.36")
    )  # fmt: skip

    # June 2: the dry look names the credit that pays nothing yet; the owner closes.
    house.clock.turn_to(date(2027, 6, 2))
    seen = closing.look(parts, office)
    assert seen is not None and (seen.through, seen.over) == (MAY, True)
    assert [(odd.name, odd.amount) for odd in seen.unusual.credits] == [
        ("Harrow & Finch Homes", Decimal("59.49"))
    ]
    closing.close_month(parts, house.owner, seen.through, seen.mark)
    kept = balances(house, MAY)

    # June 3: a check that came on May 28 turns up. May stays; it counts for June 1 and says when it came.
    house.clock.turn_to(date(2027, 6, 3))
    paying.receive_payment(
        parts, office, company, Typed("40.51", "check", "4420", date(2027, 5, 28), "none"), house.key()
    )
    assert balances(house, MAY) == kept
    page = books.account(parts, office, "cash: check", date(2027, 6, 1))
    [row] = page.rows
    assert (row.posted.on, row.posted.happened_on, page.after) == (
        date(2027, 6, 1), date(2027, 5, 28), Decimal("40.51")
    )  # fmt: skip
    assert upkeep.wrong_in_books(parts) == []
