"""The terms of a warranty as they are entered: read whole, told in sentences, and old ones still read."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from portal.core.cover.promised import kept_terms, problems_of, promised
from portal.core.documents import Renewal, Terms, Transfer, from_stored, to_stored

ENTERED: dict[str, Any] = {
    "years": 10, "remedy": "repair", "repair_up_to": "2500.00", "narrows": ["Paint."],
    "renewals": 2, "renewal_years": 5, "renewal_fee": "180.50", "renewal_inspection": "yes",
    "renewal_days_before": 60, "renewal_days_after": 30,
    "transfers": "always", "transfer_days": 60, "transfer_fee": "25",
    "transfer_evidence": "A page of the deed.",
}  # fmt: skip


def terms(**changed: Any) -> Terms:
    entered = ENTERED | changed
    assert problems_of(entered) == []
    return Terms(1, "Warranty", 10, ("Treating again.",), ("Wood cut.",), "Call.", "Ours.", "paid",
                 **promised(entered, "USD"))  # fmt: skip


def said(these: Terms) -> dict[str, str]:
    return {str(head): " ".join(map(str, lines)) for head, lines in kept_terms(these)}


def test_what_is_entered_is_kept_as_figures_that_other_acts_go_by() -> None:
    these = terms()

    assert (these.remedy, these.repair_up_to, these.currency) == ("repair", Decimal("2500.00"), "USD")
    assert these.narrows == ("Paint.",)
    assert these.renewal == Renewal(5, Decimal("180.50"), True, 60, 30, 2)
    assert these.transfer == Transfer(None, 60, Decimal("25.00"), "A page of the deed.")


def test_they_are_told_in_sentences() -> None:
    assert said(terms()) == {
        "What the office does": "The office treats again what these terms cover, and repairs it up to "
        "2500.00 USD.",
        "Renewed": "It can be renewed, 2 times at most, for 5 years each time, for 180.50 USD. The office "
        "offers it 60 days before the last day; it is to be taken up 30 days after that day at the latest. "
        "Somebody of the office looks at the house first.",
        "Handed on": "It can be handed on to each next owner of the house. The office is to be told within "
        "60 days of the sale. Handing it on costs 25.00 USD. The office wants to see: A page of the deed.",
    }


def test_a_record_without_a_promise_says_so() -> None:
    these = terms(remedy="none", repair_up_to="", renewals=0, transfers="never")

    assert said(these) == {
        "What the office does": "This is a record of the treatment. The office promises no treatment and no "
        "repair by it.",
        "Handed on": "It stays with the first owner of the house and cannot be handed on.",
    }


@pytest.mark.parametrize(
    ("changed", "at", "words"),
    [
        ({"remedy": "everything", "repair_up_to": ""}, "remedy", "Choose what the office does"),
        ({"repair_up_to": ""}, "repair_up_to", "must be a number"),
        ({"repair_up_to": "-1"}, "repair_up_to", "must not be under 0"),
        ({"repair_up_to": "1.005"}, "repair_up_to", "two places at most"),
        ({"remedy": "retreat"}, "repair_up_to", "goes with repair only"),
        ({"years": None}, "renewals", "has no end"),
        ({"renewals": "often"}, "renewals", "whole number from 0 to 20"),
        ({"renewal_years": ""}, "renewal_years", "whole number from 1 to 100"),
        ({"renewal_fee": ""}, "renewal_fee", "must be a number"),
        ({"renewal_inspection": "perhaps"}, "renewal_inspection", "Choose one of the two"),
        ({"renewal_days_before": 0}, "renewal_days_before", "whole number from 1 to 730"),
        ({"renewal_days_after": 731}, "renewal_days_after", "whole number from 0 to 730"),
        ({"transfers": "sometimes"}, "transfers", "Choose how it is handed on"),
        ({"transfers": "times"}, "transfer_most", "whole number from 1 to 20"),
        ({"transfer_days": 0}, "transfer_days", "whole number from 1 to 730"),
        ({"transfer_fee": "free"}, "transfer_fee", "must be a number"),
        ({"transfer_evidence": "x" * 501}, "transfer_evidence", "At most 500 characters"),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(changed: dict[str, Any], at: str, words: str) -> None:
    found = problems_of(ENTERED | changed)

    assert [problem.at for problem in found] == [at]
    assert words in str(found[0].says)


def test_terms_from_before_these_fields_read_and_say_what_their_lines_say() -> None:
    old = {
        "edition": 1, "title": "Warranty", "years": 10, "covers": ["a"], "voids": ["b"], "ask": "Call.",
        "notice": "Ours.", "release": "paid",
    }  # fmt: skip
    read = from_stored(Terms, old)

    assert kept_terms(read) == () and read.narrows == ()
    assert promised({}, "USD") | {"currency": ""} == {
        key: getattr(read, key)
        for key in ("remedy", "repair_up_to", "currency", "narrows", "renewal", "transfer")
    }


def test_they_come_back_from_what_is_stored() -> None:
    assert from_stored(Terms, to_stored(terms())) == terms()
