"""How a purchaser's link stands, in every pairing of what was done with it and with its quote."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from portal.core.purchaser import SHOWS_QUOTE, USABLE, LinkFacts, shows_quote, standing

LAST = date(2027, 6, 3)
AFTER = LAST + timedelta(days=1)


@pytest.mark.parametrize(
    ("answer", "withdrawn", "quote", "today", "word"),
    [
        ("", False, "sent", LAST, "open"),
        ("", False, "sent", AFTER, "expired"),
        ("", False, "superseded", LAST, "superseded"),
        ("", False, "superseded", AFTER, "superseded"),
        ("", False, "accepted", LAST, "answered"),
        ("", False, "declined", LAST, "answered"),
        ("", False, "accepted", AFTER, "answered"),
        ("", False, "lapsed", AFTER, "lapsed"),
        ("first yes", False, "sent", LAST, "kept"),
        ("first yes", False, "sent", AFTER, "expired"),
        ("first yes", False, "accepted", LAST, "accepted"),
        ("first yes", False, "declined", LAST, "answered"),
        ("first yes", False, "superseded", LAST, "superseded"),
        ("first yes", False, "lapsed", AFTER, "lapsed"),
        ("accepted", False, "accepted", LAST, "accepted"),
        ("accepted", False, "accepted", AFTER, "accepted"),
        ("declined", False, "declined", LAST, "declined"),
        ("declined", False, "superseded", LAST, "declined"),
        ("", True, "sent", LAST, "withdrawn"),
        ("first yes", True, "accepted", LAST, "withdrawn"),
        ("", True, "superseded", AFTER, "withdrawn"),
    ],
)
def test_one_word_for_how_a_link_stands(
    answer: str, withdrawn: bool, quote: str, today: date, word: str
) -> None:
    link = LinkFacts(LAST, answer, withdrawn)

    assert standing(link, quote, today) == word
    assert shows_quote(word, link, today) is (word in SHOWS_QUOTE and today == LAST)


def test_what_can_be_used_is_shown() -> None:
    assert USABLE < SHOWS_QUOTE
