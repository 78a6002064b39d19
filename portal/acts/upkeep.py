"""What the house does by itself: forgetting what can no longer matter, and checking its own history."""

from __future__ import annotations

from datetime import timedelta

from portal.acts.parts import Parts
from portal.acts.people import LONGEST
from portal.store import ledger, lists, people, trail

#: How long a list is kept of which nothing was asked for.
UNASKED = timedelta(days=90)


def forget(parts: Parts) -> None:
    """Drop old tries, once-keys and sign-ins, and lists of lots that nobody asked prices for."""
    with parts.store.writing() as work:
        trail.forget_before(work, work.now - timedelta(days=30))
        people.end_sign_ins_before(work, work.now - LONGEST)
        lists.forget_before(work, work.now - UNASKED)


def broken_link(parts: Parts) -> int | None:
    """The first line of history whose hash does not fit, or None where the chain is whole."""
    with parts.store.reading() as work:
        return trail.broken_link(work)


def wrong_in_books(parts: Parts) -> list[str]:
    """What does not fit in the books, in words: entries out of balance, and closed months that changed.

    All of the ledger is added up again.
    """
    with parts.store.reading() as work:
        found = [f"Entry {seq} does not balance." for seq in ledger.unbalanced(work)]
        for row in ledger.closed_months(work):
            if not ledger.is_as_closed(work, row):
                found.append(f"The month closed through {row.through} is not as it was closed.")
    return found
