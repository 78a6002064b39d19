"""The day siding starts, given or mended after the lot was asked for: a fact of the lot, not of its quote."""

from __future__ import annotations

from datetime import date

from portal.acts.frame_days import MOST_DAYS, frame_days, tell_frame_days
from portal.acts.lot_state import lot_to_change, restage, speaking_revision
from portal.acts.offering import back_to_check
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.trail import note
from portal.core.errors import BadInput, Problem, refuse
from portal.core.journey import UNBOOKED
from portal.core.words import say


def give_siding_day(parts: Parts, who: Actor, lot_id: str, version: int, day: date | None) -> None:
    """Keep the day siding starts, until a treatment is booked. The same day twice is once.

    What was sent says what it said. What is approved and not sent goes back to be checked, because the
    day will stand on it.
    """
    must_be(who, "builder", "office")
    given = _check(parts, day)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id)
        if lot.siding_starts == given:
            return
        lot = lot_to_change(work, who, lot_id, version)
        if lot.stage not in UNBOOKED:
            raise refuse("The treatment is booked or done: the day siding starts is no longer asked for.")
        before = frame_days(lot)
        lot.siding_starts = given
        revision = speaking_revision(work, lot.id)
        if revision is not None and revision.state == "approved":
            back_to_check(revision)
        note(work, who, "siding day", lot.name, lot.id, day=given.isoformat())
        tell_frame_days(parts, work, who, lot, before)
        restage(work, lot)


def _check(parts: Parts, day: date | None) -> date:
    if day is None:
        raise BadInput([Problem("siding_starts", say("Enter the day siding starts."))])
    if abs((day - parts.today()).days) > MOST_DAYS:
        says = say("{day} is more than five years from today: look at the year.", day=day)
        raise BadInput([Problem("siding_starts", says)])
    return day
