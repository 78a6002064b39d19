"""Doors that count tries: one counts at a time, so that tries sent at once do not all see the same count."""

from __future__ import annotations

from sqlalchemy import func, select

from portal.store.transaction import Work


def hold(work: Work, door: str, *subjects: str) -> None:
    """Hold a door for these subjects until the writing transaction ends; others wait their turn.

    On SQLite a writing transaction keeps every other one waiting already. PostgreSQL lets
    them count side by side, and there may be no row yet to lock: so the names are locked.
    """
    if work.session.get_bind().dialect.name != "postgresql":
        return
    for subject in sorted(subjects):  # in one order, or two could wait for each other
        name = func.hashtextextended(f"{door} {subject}", 0)
        work.session.execute(select(func.pg_advisory_xact_lock(name)))
