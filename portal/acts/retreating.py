"""Covered trouble is treated again, as a job of its own with its own record, under the first warranty.

Nothing is owed for it: it gets no invoice, and no warranty beside the one that it keeps.
"""

from __future__ import annotations

from typing import Any

from portal.acts.deciding import accept_in
from portal.acts.lot_state import lot_to_change
from portal.acts.offering import costed, open_revision
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.quoting import begin, mark_approved, send_in
from portal.acts.trail import note, once
from portal.acts.tying import payer_of, tie
from portal.core.cover.trouble import may_be_retreated
from portal.core.errors import refuse
from portal.store import lots, quotes, troubles, warranties
from portal.store.transaction import Work


def make_retreatment(parts: Parts, who: Actor, trouble_id: str, once_key: str) -> str:
    """Make the lot under which a covered report is treated again; answers its id.

    Its takeoff begins as the house was treated, and the office corrects it to what is treated again.
    """
    must_be(who, "office")

    def do(work: Work) -> dict[str, Any]:
        first = lots.locked(work, troubles.trouble(work, trouble_id).lot_id)
        row = troubles.trouble(work, trouble_id, held=True)
        if not may_be_retreated(row.state, row.decision):
            raise refuse("It is treated again once it was decided to be covered.")
        if row.retreat_lot_id is not None:
            raise refuse("Its re-treatment is made already.")
        warranty = warranties.warranty(work, row.warranty_id)
        company = payer_of(work, who, warranty, first)
        lot = tie(parts, work, who, first, company, "retreatment", row.number)
        row.retreat_lot_id = lot.id
        note(work, who, "retreatment made", row.number, first.id)
        return {"lot": lot.id}

    return str(once(parts, who, f"retreat {trouble_id}", once_key, do)["lot"])


def agree_retreatment(parts: Parts, who: Actor, trouble_id: str, version: int) -> None:
    """Make a re-treatment a job, as its takeoff stands: the warranty's terms are its yes, and the office's.

    `version` is that of its lot, as the walls were seen.

    The quote of nothing is started, approved, sent and accepted in one; what it costs the office is kept
    with the margins, under the floor for the warranty's sake.
    """
    must_be(who, "office")
    with parts.store.writing() as work:
        row = troubles.trouble(work, trouble_id)
        if row.retreat_lot_id is None:
            raise refuse("Its re-treatment is not made yet.")
        lot = lot_to_change(work, who, row.retreat_lot_id, version)
        if quotes.quote_of(work, lot.id) is not None:
            raise refuse("It is a job already.")
        begin(parts, work, who, lot)
        revision = open_revision(work, lot, "to check")
        document, cost = costed(parts, work, lot, revision)
        why = f"Covered by the warranty {document.offer.lines[0].reason}"
        mark_approved(work, who, lot, revision, document, cost, why)
        send_in(parts, work, who, lot)
        accept_in(parts, work, who, lot, revision, who.name, "")
