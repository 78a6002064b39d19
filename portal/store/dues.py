"""Finds what was released of retainage, and by when it is due."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from sqlalchemy import select

from portal.core.money.dues import Release
from portal.store.tables import Adjustment, RetainagePaper
from portal.store.transaction import Work


def releases(
    work: Work, invoice_ids: Collection[str], until: date | None = None
) -> dict[str, tuple[Release, ...]]:
    """By invoice, what was released up to a day, or at all; nothing is asked where there is no invoice."""
    if not invoice_ids:
        return {}
    query = (
        select(RetainagePaper.invoice_id, Adjustment.on, RetainagePaper.due_on, Adjustment.amount)
        .join(Adjustment, Adjustment.id == RetainagePaper.adjustment_id)
        .where(RetainagePaper.invoice_id.in_(invoice_ids))
    )  # fmt: skip
    found: dict[str, tuple[Release, ...]] = {}
    for invoice_id, on, due_on, amount in work.session.execute(query):
        if until is None or on <= until:
            found[invoice_id] = (*found.get(invoice_id, ()), Release(on, due_on, amount))
    return found
