"""The days that close a frame: the office is told where a builder gives one, changes it, or takes it back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.lot_state import lot_name
from portal.acts.parts import Actor, Parts
from portal.acts.trail import mail_office
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class FrameDays:
    """When framing is done, and when siding and insulation start."""

    siding: date | None
    insulation: date | None
    framing: date | None = None


def frame_days(lot: Any) -> FrameDays:
    """A lot's days as they stand."""
    return FrameDays(lot.siding_starts, lot.insulation_starts, lot.framing_done)


def tell_frame_days(parts: Parts, work: Work, who: Actor, lot: Any, before: FrameDays) -> None:
    """A letter to the office, in the act's own transaction, where a builder changed a day."""
    now = frame_days(lot)
    if who.kind != "builder" or now == before:
        return
    mail_office(
        parts, work, "frame_days", lot.id, company=who.company, lot=lot_name(lot), by=who.name, now=now,
        before=before, link=parts.links.office_lot(lot.id),
    )  # fmt: skip
