"""What the house does by itself: forgetting what can no longer matter, and checking its own history."""

from __future__ import annotations

from datetime import timedelta

from portal.acts.parts import Parts
from portal.acts.people import LONGEST
from portal.store import lists, people, trail

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
