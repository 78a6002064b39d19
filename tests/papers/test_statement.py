"""What a statement and an invoice of interest say, read back from their PDFs."""

from __future__ import annotations

import pytest
from msgspec import structs

from portal.core.money.interest import InterestTerms
from portal.papers import Papers
from tests.papers.conftest import FORMATS
from tests.parts import documents
from tests.parts.pdf import bare, opened, text_of

pytestmark = pytest.mark.slow

PAPERS = Papers("Letter", FORMATS)


def text(kind: str, document: object) -> str:
    return bare(text_of(PAPERS.make(kind, document, {})))  # type: ignore[arg-type]


def test_a_statement_says_every_line_with_its_balance_what_is_late_and_what_is_held_back() -> None:
    read = text("statement", documents.statement())

    for words in (
        "Account of Harrow Homes from March 9, 2027 to April 1, 2027.", "Balance before", "$120.00",
        "Invoice INV-2027-0000", "Payment 2288", "$965.30", "61 to 90", "73", "$160.00", "of it past due",
        "The balance is what is open less the $40.00 to your credit.",
        "Held back until it is released, and in no balance: $54.05.", "Check to Sill & Plate Treatment",
    ):  # fmt: skip
        assert bare(words) in read, words


def test_a_long_statement_goes_on_over_pages_with_its_head_on_each() -> None:
    read = opened(PAPERS.make("statement", documents.statement(120), {}))

    assert len(read.pages) > 2
    for page in list(read.pages)[1:3]:
        assert bare("Balance") in bare(page.extract_text())


def test_a_statement_without_anything_says_that_nothing_is_owed() -> None:
    zero = documents.statement(0)
    read = text("statement", structs.replace(zero, open=(), ageing=type(zero.ageing)(), lines=()))

    assert bare("Balance before") in read and bare("Open, by how late") not in read


def test_an_invoice_of_interest_says_how_it_came_together() -> None:
    read = text("invoice", documents.interest_invoice())

    for words in (
        "Interest on invoice INV-2027-0009, which was due on April 1, 2027.", "$1,507.50", "$18.83",
        "bears 6% interest a year, day by day over 360 days, added to what is owed every 30 days.",
    ):  # fmt: skip
        assert bare(words) in read, words
    assert bare("Borate treatment") not in read


@pytest.mark.parametrize(
    ("grace", "words"), [(0, "after its due day"), (5, "later than 5 days after its due day")]
)
def test_an_invoice_says_what_being_late_costs_and_nothing_where_it_costs_nothing(
    grace: int, words: str
) -> None:
    bill = documents.invoice()

    terms = InterestTerms(documents.Decimal("7.50"), grace, "365")
    read = text("invoice", structs.replace(bill, interest=terms))

    said = f"What is paid {words} bears 7.5% interest a year, day by day over 365 days."
    assert bare(said) in read
    assert bare("interest") not in text("invoice", bill)
