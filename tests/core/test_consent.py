"""Whose yes counts, and how many it takes: the house's own rule for two people over an amount.

That two different people must agree to a large commitment is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from portal.core.consent import Yes, completes, same_person, takes_two
from portal.core.errors import Refused

ADA = Yes("Ada Quist", "ada@example.com", "f1", person_id="ada")
BRAM = Yes("Bram Sorrel", "bram@example.com", "f1", person_id="bram")
PIA = Yes("Pia Holm", "pia@example.org", "f1", mailed_by="ada")
LIMIT = Decimal("1000.00")
OVER = Decimal("1000.01")


@pytest.mark.parametrize(
    ("amount", "over", "two"),
    [
        ("999.99", LIMIT, False),
        ("1000.00", LIMIT, False),
        ("1000.01", LIMIT, True),
        ("0.01", Decimal("0.00"), True),
        ("0.00", Decimal("0.00"), False),
        ("1000000.00", None, False),
    ],
)
def test_two_are_wanted_over_the_amount_and_not_at_it(amount: str, over: Decimal | None, two: bool) -> None:
    assert takes_two(Decimal(amount), over) is two


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (ADA, BRAM, False),
        (ADA, replace(ADA, name="A. Quist", email="ada.quist@example.com"), True),
        (ADA, replace(PIA, email=" ADA@Example.com "), True),
        (PIA, replace(PIA, name="P. Holm"), True),
        (PIA, replace(PIA, email="pia@example.net"), False),
        (replace(ADA, name="Pia Holm"), PIA, False),
    ],
)
def test_one_person_is_known_by_sign_in_or_mail_address_and_never_by_name(
    one: Yes, other: Yes, same: bool
) -> None:
    assert same_person(one, other) is same
    assert same_person(other, one) is same


@pytest.mark.parametrize(
    ("yes", "first", "amount", "whole"),
    [
        (ADA, None, LIMIT, True),
        (PIA, None, LIMIT, True),
        (ADA, None, OVER, False),
        (PIA, None, OVER, False),
        (BRAM, ADA, OVER, True),
        (BRAM, PIA, OVER, True),
        # A yes to another revision is none to this one.
        (BRAM, replace(ADA, fingerprint="f0"), OVER, False),
        (ADA, replace(ADA, fingerprint="f0"), OVER, False),
        # The amount was raised since: now one is enough, whoever's.
        (ADA, ADA, LIMIT, True),
        (PIA, ADA, LIMIT, True),
    ],
)
def test_a_yes_is_the_first_of_two_or_makes_it_whole(
    yes: Yes, first: Yes | None, amount: Decimal, whole: bool
) -> None:
    assert completes(yes, first, amount, LIMIT) is whole


@pytest.mark.parametrize(
    ("yes", "first", "says"),
    [
        (ADA, ADA, "Your yes is kept already."),
        (replace(ADA, person_id="ada2"), ADA, "Your yes is kept already."),
        (replace(BRAM, email="PIA@example.org"), PIA, "Your yes is kept already."),
        (PIA, PIA, "Your yes is kept already."),
        (PIA, BRAM, "One yes is given already."),
        (replace(PIA, email="pol@example.org"), PIA, "One yes is given already."),
        (ADA, PIA, "The first yes came through a link that you had mailed."),
    ],
)
def test_the_second_is_somebody_elses_who_signs_in(yes: Yes, first: Yes, says: str) -> None:
    with pytest.raises(Refused, match=says):
        completes(yes, first, OVER, LIMIT)
