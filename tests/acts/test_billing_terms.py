"""How a builder is billed is entered by an owner, stands in each quote, and is kept by it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from portal.acts.billing_terms import enter_terms, terms_of
from portal.core.errors import Refused
from portal.core.money.terms import BillingTerms
from tests.parts.house import FIRM, House
from tests.parts.refusals import problems

pytestmark = pytest.mark.slow


def entered(house: House, **typed: str) -> None:
    """Terms of the builder's own."""
    enter_terms(
        house.parts, house.owner, house.builder.company_id or "", {"net_days": "30"} | typed, house.key()
    )


def frozen(house: House, lot: str) -> BillingTerms:
    """What a lot's newest quote says."""
    document = house.sheet(lot).revisions[0].document
    assert document is not None and document.billing is not None
    return document.billing


def test_a_quote_keeps_the_terms_it_was_sent_with(house: House) -> None:
    first = house.sent()
    entered(house, net_days="15", due_from="month end", prompt_percent="2", prompt_days="10",
            deposit_percent="25", bill_per="package", retained_percent="7.5",
            retained_most="250")  # fmt: skip
    second = house.sent()

    assert frozen(house, first) == BillingTerms(days=30)
    assert frozen(house, second) == BillingTerms(
        15, "month end", Decimal(2), 10, Decimal(25), "package", Decimal("7.5"), Decimal("250.00")
    )
    assert "billing terms" in house.verbs()


def test_terms_of_the_firm_hold_for_a_builder_without_its_own(lite: House) -> None:
    lite.enter("firm", FIRM | {"net_days": 45, "retained_percent": "5"})

    assert frozen(lite, lite.sent()) == BillingTerms(45, retained_percent=Decimal(5))
    view = terms_of(lite.parts, lite.office, lite.rival.company_id or "")
    assert (view.number, view.terms.days) == (0, 45)


def test_terms_are_numbered_by_builder(lite: House) -> None:
    entered(lite, net_days="10")
    entered(lite, net_days="20")

    view = terms_of(lite.parts, lite.office, lite.builder.company_id or "")
    assert (view.number, view.terms.days, view.made_by) == (2, 20, "Odile Marchbank")


@pytest.mark.parametrize(
    ("typed", "at", "said"),
    [
        ({"net_days": "many"}, "net_days", "this must be a whole number from 0 to 365, not “many”"),
        ({"due_from": "x"}, "due_from", "Choose from when the days run."),
        ({"bill_per": "x"}, "bill_per", "Choose for what there is an invoice."),
        ({"retained_percent": "10.5"}, "retained_percent",
         "10 percent may be held back at most, by the firm’s edition."),
        ({"retained_most": "1.005"}, "retained_most", "An amount has two places at most."),
        ({"deposit_percent": "101"}, "deposit_percent", "this must not be over 100: “101”"),
        ({"prompt_days": "5"}, "prompt_days",
         "Days go with a percentage only. Enter one, or leave the days empty."),
        ({"prompt_percent": "2", "prompt_days": "31"}, "prompt_days",
         "The invoice is due after 30 days: paying soon is earlier than that."),
    ],
)  # fmt: skip
def test_terms_that_cannot_be_are_told_at_their_field(
    lite: House, typed: dict[str, str], at: str, said: str
) -> None:
    assert problems(lambda: entered(lite, **typed)) == {at: said}


def test_the_firm_says_how_much_may_be_held_back(lite: House) -> None:
    lite.enter("firm", FIRM | {"retained_limit": "5"})

    assert list(problems(lambda: entered(lite, retained_percent="6"))) == ["retained_percent"]


@pytest.mark.parametrize("prefix", ["inv", "1A", "TOOLONGAB", "CN", "TR", "A-B"])
def test_a_prefix_is_letters_and_digits_and_no_other_papers(lite: House, prefix: str) -> None:
    assert list(problems(lambda: lite.enter("firm", FIRM | {"invoice_prefix": prefix}))) == ["invoice_prefix"]


def test_what_was_approved_is_checked_again_where_the_terms_changed(lite: House) -> None:
    """Frozen with the quote and so agreed: an approval is of the price and of how it is billed."""
    lot = lite.approved()
    entered(lite, net_days="10")

    with pytest.raises(Refused):
        lite.sent(lot)
