"""Calendars are told of a stop in the act's own transaction: the technician's, and the builder's."""

from __future__ import annotations

from typing import Any

from portal.store import calendars
from portal.store.transaction import Work


def told_booked(work: Work, lot: Any, job: Any, before: Any) -> None:
    """The stop stands in both calendars; in that of who had it before it is called off."""
    if before is not None and before.id != job.technician.id:
        calendars.call_off(work, job.id, before.id)
    for reader in (job.technician.id, lot.company_id):
        calendars.keep(work, job.id, reader, job.day)


def told_called_off(work: Work, lot: Any, job: Any) -> None:
    """Nobody's calendar has the stop any more."""
    calendars.call_off(work, job.id)
