"""Puts what happened to money into the ledger, in the transaction of the act that made it happen."""

from __future__ import annotations

from datetime import date, timedelta

from portal.acts.parts import Actor, Parts
from portal.core.money.ledger import EVENTS, Posts, is_balanced
from portal.store import books, ledger, trail
from portal.store.transaction import Work


def post(
    parts: Parts, work: Work, who: Actor, event: str, subject: str, posts: Posts, *,
    company_id: str, source_id: str, happened_on: date | None = None,
) -> None:  # fmt: skip
    """An entry of balanced postings. Nothing to post leaves no entry.

    It counts for the day it happened on; where that day's month is closed, for the first day that is not.
    """
    assert event in EVENTS, event
    assert is_balanced(posts), posts
    if not posts:
        return
    happened = happened_on or parts.today()
    books.add_entry(
        work, event=event, subject=subject, source_id=source_id, company_id=company_id,
        on=_first_open(work, happened), happened_on=happened, by=who.name, posts=posts,
    )  # fmt: skip


def _first_open(work: Work, day: date) -> date:
    # The history's head is held until the act is over: a month is closed under it, and so either before
    # this entry, which then knows of it, or after, and then with this entry in it.
    trail.hold_head(work)
    closed = ledger.closed_through(work)
    return day if closed is None else max(day, closed + timedelta(days=1))
