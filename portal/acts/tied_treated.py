"""What the record of a tied lot leads to: the lot that it is tied to, and its warranty, tell of it."""

from __future__ import annotations

from typing import Any

from portal.acts.lot_state import restage
from portal.acts.parts import Actor, Parts
from portal.acts.tied_held import hold_with_house
from portal.acts.trail import note
from portal.acts.troubles import tell
from portal.core.cover.filing import container_keys
from portal.core.documents import TreatmentDocument
from portal.store import filing, lots, troubles, warranties
from portal.store.transaction import Work


def treated_again(parts: Parts, work: Work, who: Actor, lot: Any, record: TreatmentDocument) -> None:
    """What a re-treatment's record leads to as it is marked treated: the first lot and the report name it."""
    row = troubles.of_retreatment(work, lot.id)
    assert row is not None, "a re-treatment is some report's"
    note(work, who, "treated again", record.number, row.lot_id)
    filing.add_containers(work, row.warranty_id, container_keys(record.container_lot))
    if row.state == "decided":
        step = troubles.add_step(work, row, "done", who.name, "", record.treated_on, record.applicator.name)
        note(work, who, "trouble done", row.number, row.lot_id)
        tell(parts, work, row, step, record.number)
    restage(work, lots.lot(work, row.lot_id))


def addition_treated(parts: Parts, work: Work, who: Actor, lot: Any) -> None:
    """An addition is treated: the first lot's history and record name its warranty, its holder holds it."""
    made = warranties.warranty_of(work, lot.id)
    assert made is not None and lot.of_lot_id is not None
    note(work, who, "addition treated", made.number, lot.of_lot_id)
    hold_with_house(parts, work, who, made, lot.of_lot_id)
    restage(work, lots.lot(work, lot.of_lot_id))
