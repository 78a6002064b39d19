"""Whether another lot of the same subdivision was treated before this one on the same day."""

from __future__ import annotations

from typing import Any

from portal.core.documents import QuoteDocument, TreatmentDocument
from portal.store import jobs
from portal.store.transaction import Work


def treated_before(work: Work, lot: Any, quote: QuoteDocument, record: TreatmentDocument) -> str:
    """The lot that was marked first, by its name; empty where this one is it, or nothing hangs on it.

    Two marks at once cannot both be the first: each holds the series that records are numbered from. And
    billed later, together with others of a package, it is still the first that pays for the way.
    """
    if not quote.same_day_off or lot.subdivision_id is None:
        return ""
    for name, treated_on in jobs.treated_in(work, lot.subdivision_id, before=record.number):
        if treated_on == record.treated_on.isoformat():
            return name
    return ""
