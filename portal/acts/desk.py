"""The lists people start their day from: a builder's lots, the office's Today."""

from __future__ import annotations

from dataclasses import dataclass, replace

from portal.acts.parts import Actor, Parts, must_be
from portal.store import lots, reads
from portal.store.reads import InvoiceRow, LotFilter, LotRow, StopRow

PAGE = 50


@dataclass(frozen=True, slots=True)
class LotPage:
    """A page of lots. `more` is the filter of the next page, or None on the last."""

    rows: tuple[LotRow, ...]
    more: LotFilter | None
    counts: dict[str, int]
    subdivisions: tuple[str, ...]


def list_lots(parts: Parts, who: Actor, which: LotFilter) -> LotPage:
    """Lots by the time they last changed: a builder's own, the office's all."""
    must_be(who, "builder", "office")
    if who.kind == "builder":
        which = replace(which, company_id=who.company_id)
    with parts.store.reading() as work:
        rows = reads.lots(work, which, PAGE + 1)
        more = replace(which, after=(rows[PAGE - 1].changed_at, rows[PAGE - 1].id)) if len(rows) > PAGE else None
        names = lots.subdivisions(work, which.company_id) if which.company_id else []
        counts = reads.stage_counts(work, which.company_id)
        return LotPage(tuple(rows[:PAGE]), more, counts, tuple(names))


@dataclass(frozen=True, slots=True)
class Today:
    """What needs a hand on it today, in the office."""

    asked: tuple[LotRow, ...]
    to_check: tuple[LotRow, ...]
    approved: tuple[LotRow, ...]
    to_book: tuple[StopRow, ...]
    booked: tuple[StopRow, ...]
    to_sign_off: tuple[StopRow, ...]
    overdue: tuple[InvoiceRow, ...]
    declined: tuple[LotRow, ...]


def today(parts: Parts, who: Actor) -> Today:
    """The office's day."""
    must_be(who, "office")

    with parts.store.reading() as work:
        rows = reads.lots(work, LotFilter(stages=("asked", "to check", "approved", "declined")), 400)
        stops = reads.stops(work, ("unscheduled", "booked", "on site", "treated"))
        owed = reads.invoices(work, open_only=True)

    def at(stage: str) -> tuple[LotRow, ...]:
        return tuple(reversed([row for row in rows if row.stage == stage]))

    return Today(
        asked=at("asked"), to_check=at("to check"), approved=at("approved"), declined=at("declined"),
        to_book=tuple(s for s in stops if s.state == "unscheduled"),
        booked=tuple(s for s in stops if s.state in ("booked", "on site")),
        to_sign_off=tuple(s for s in stops if s.state == "treated"),
        overdue=tuple(row for row in owed if row.due_on < parts.today()),
    )  # fmt: skip


def subdivisions(parts: Parts, who: Actor) -> tuple[str, ...]:
    """Names of the builder's subdivisions, to choose from while typing."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        return tuple(lots.subdivisions(work, who.company_id or ""))
