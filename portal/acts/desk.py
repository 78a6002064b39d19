"""The lists people start their day from: a builder's lots, the office's Today."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from portal.acts.parts import Actor, Parts, must_be
from portal.store import lots, packages, reads
from portal.store.packages import PackageRow
from portal.store.reads import InvoiceRow, InvoiceSums, LotFilter, LotRow, StopRow

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
    own = who.company_id if who.kind == "builder" else which.company_id
    which = replace(which, company_id=own, today=parts.today())
    with parts.store.reading() as work:
        rows = reads.lots(work, which, PAGE + 1)
        more = (
            replace(which, after=(rows[PAGE - 1].changed_at, rows[PAGE - 1].id)) if len(rows) > PAGE else None
        )
        names = lots.subdivisions(work, which.company_id) if which.company_id else []
        counts = reads.stage_counts(work, which.company_id, which.today)
        return LotPage(tuple(rows[:PAGE]), more, counts, tuple(names))


@dataclass(frozen=True, slots=True)
class Today:
    """What needs a hand on it today, in the office.

    Lots of a package stand in it until their quotes are out, and not by themselves.
    """

    packages: tuple[PackageRow, ...]
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
        rows = reads.lots(work, LotFilter(stages=("asked", "to check", "approved"), packed=False), 400)
        rows += reads.lots(work, LotFilter(stages=("declined",)), 400)
        packed = packages.rows(work, parts.today(), with_office=True)
        stops = reads.stops(work, ("unscheduled", "booked", "on site", "treated"))
        owed = reads.invoices(work, open_only=True)

    def at(stage: str) -> tuple[LotRow, ...]:
        return tuple(reversed([row for row in rows if row.stage == stage]))

    return Today(
        packages=tuple(reversed(packed)),
        asked=at("asked"), to_check=at("to check"), approved=at("approved"), declined=at("declined"),
        to_book=tuple(by_window([s for s in stops if s.state == "unscheduled"])),
        booked=tuple(s for s in stops if s.state in ("booked", "on site")),
        to_sign_off=tuple(s for s in stops if s.state == "treated"),
        overdue=tuple(row for row in owed if row.due_on < parts.today()),
    )  # fmt: skip


def by_window(stops: list[StopRow]) -> list[StopRow]:
    """Stops in the order in which they should be booked: whose window narrows first on top."""
    return sorted(stops, key=_closes)


def _closes(stop: StopRow) -> tuple[date, str]:
    """The first day on which the window of a stop narrows: siding goes on, or insulation closes the frame."""
    days = [day for day in (stop.siding_starts, stop.insulation_starts) if day]
    return min(days, default=date.max), stop.number


@dataclass(frozen=True, slots=True)
class MoneyPage:
    """A page of invoices, due first on top, and the sums of all of them. `more`: offset of the next page."""

    rows: tuple[InvoiceRow, ...]
    sums: InvoiceSums
    more: int | None
    today: date


def money(parts: Parts, who: Actor, *, open_only: bool, offset: int = 0) -> MoneyPage:
    """Invoices of all builders. The sums are of every invoice asked for, not only of those on the page."""
    must_be(who, "office")
    with parts.store.reading() as work:
        rows = reads.invoices(work, open_only=open_only, limit=PAGE + 1, offset=offset)
        sums = reads.invoice_sums(work, parts.today(), open_only=open_only)
    return MoneyPage(tuple(rows[:PAGE]), sums, offset + PAGE if len(rows) > PAGE else None, parts.today())


def subdivisions(parts: Parts, who: Actor) -> tuple[str, ...]:
    """Names of the builder's subdivisions, to choose from while typing."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        return tuple(lots.subdivisions(work, who.company_id or ""))
