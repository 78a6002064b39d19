"""A builder is reminded of a quote that lapses soon, once."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from portal.acts.editions import in_force, remind_days
from portal.acts.lot_state import lot_name
from portal.acts.offering import title_of
from portal.acts.parts import SYSTEM, Parts
from portal.acts.trail import mail_builder, note
from portal.store import lots, quotes
from portal.store.transaction import Work


def remind(parts: Parts) -> int:
    """Remind of every sent quote that ends within the days the office has set; answers of how many.

    The worker calls this. A transaction each, as quotes lapse: a person never waits for all of them.
    """
    with parts.store.reading() as work:
        found = [(row.id, row.quote.lot_id) for row in _due(parts, work)]
    return sum(_remind_one(parts, revision_id, lot_id) for revision_id, lot_id in found)


def _due(parts: Parts, work: Work) -> list[Any]:
    """Those sent so shortly before their last day that the quote itself says as much are left out."""
    days, today = timedelta(days=remind_days(in_force(work, parts.today()).firm)), parts.today()
    ending = quotes.ending(work, today, today + days) if days else []
    return [row for row in ending if _held_for(parts, row) > days]


def _held_for(parts: Parts, row: Any) -> timedelta:
    held: timedelta = row.expires_on - row.sent_at.astimezone(parts.zone).date()
    return held


def _remind_one(parts: Parts, revision_id: str, lot_id: str) -> bool:
    with parts.store.writing() as work:
        # Held before it is looked at again: somebody may just be answering, or another worker reminding.
        lot = lots.locked(work, lot_id)
        revision = quotes.revision(work, revision_id)
        if revision.state != "sent" or revision.reminded_at is not None:
            return False
        revision.reminded_at = work.now
        note(work, SYSTEM, "reminded", title_of(revision), lot.id)
        mail_builder(
            parts, work, "quote_lapsing", lot.company_id, lot.id, quote=title_of(revision),
            lot=lot_name(lot), expires_on=revision.expires_on, link=parts.links.builder_lot(lot.id),
        )  # fmt: skip
        return True
