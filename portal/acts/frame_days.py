"""The days that close a frame: the office is told where a builder gives one, changes it, or takes it back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.acts.lot_state import lot_name, lot_to_change, restage, speaking_revision
from portal.acts.offering import back_to_check
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check
from portal.acts.trail import mail_office, note
from portal.core.errors import Problem, refuse
from portal.core.journey import UNTREATED
from portal.core.words import say
from portal.store.transaction import Work

#: A day further off than this, before or after today, is a slip of the pen.
MOST_DAYS = 5 * 366


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


def give_frame_days(
    parts: Parts, who: Actor, lot_id: str, version: int, framing: date | None, insulation: date | None
) -> None:  # fmt: skip
    """Keep when framing is done and when insulation starts, until the lot is treated.

    A booking outside the new window stays: whoever looks at crew days sees it, and the office is told.
    What was sent says what it said; what is approved and not sent goes back to be checked.
    """
    must_be(who, "builder", "office")
    check(_problems(parts, framing, insulation))
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id)
        if (lot.framing_done, lot.insulation_starts) == (framing, insulation):
            return
        lot = lot_to_change(work, who, lot_id, version)
        if lot.stage not in UNTREATED:
            raise refuse("The lot is treated: the days of its open frame are no longer asked for.")
        before = frame_days(lot)
        lot.framing_done, lot.insulation_starts = framing, insulation
        revision = speaking_revision(work, lot.id)
        if revision is not None and revision.state == "approved":
            back_to_check(revision)
        days = {"framing": framing, "insulation": insulation}
        note(work, who, "frame days", lot.name, lot.id, **{k: d.isoformat() for k, d in days.items() if d})
        tell_frame_days(parts, work, who, lot, before)
        restage(work, lot)


def _problems(parts: Parts, framing: date | None, insulation: date | None) -> list[Problem]:
    found = [
        Problem(at, say("{day} is more than five years from today: look at the year.", day=day))
        for at, day in (("framing_done", framing), ("insulation_starts", insulation))
        if day is not None and abs((day - parts.today()).days) > MOST_DAYS
    ]
    if framing is not None and insulation is not None and insulation <= framing:
        found.append(Problem("insulation_starts", say(
            "Insulation starts after framing is done, and that is on {day}.", day=framing
        )))  # fmt: skip
    return found
