"""The lists people start their day from: a builder's lots, the office's Today."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date

from portal.acts.chase import SaidOf, needs_a_hand
from portal.acts.exempting import RunningOut, running_out
from portal.acts.parts import Actor, Parts, has, must_be
from portal.core.journey import MONEY_APART, OWING, TELLS_OF_MONEY, money_apart
from portal.core.treatment.entries import merge
from portal.store import billing, field, lots, packages, payments, promises, quotes, reads, records
from portal.store.billing import WaitingPackage
from portal.store.packages import PackageRow
from portal.store.promises import Promises
from portal.store.reads import InvoiceRow, InvoiceSums, LotFilter, LotRow, StopRow
from portal.store.transaction import Work

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
    sees_money = has(who, "money")
    which = which if sees_money else replace(which, stages=_stages_apart(which.stages))
    with parts.store.reading() as work:
        rows = reads.lots(work, which, PAGE + 1)
        more = (
            replace(which, after=(rows[PAGE - 1].changed_at, rows[PAGE - 1].id)) if len(rows) > PAGE else None
        )
        names = lots.subdivisions(work, which.company_id) if which.company_id else []
        counts = reads.stage_counts(work, which.company_id, which.today)
        page = LotPage(tuple(rows[:PAGE]), more, counts, tuple(names))
        return page if sees_money else _apart(work, page)


def _stages_apart(stages: tuple[str, ...]) -> tuple[str, ...]:
    """The stages to look for, where those that tell of money are one: none of them can be asked for alone."""
    others = tuple(stage for stage in stages if money_apart(stage) != MONEY_APART)
    return others if len(others) == len(stages) else (*others, *sorted(TELLS_OF_MONEY))


def _apart(work: Work, page: LotPage) -> LotPage:
    """The page for somebody who does not see money: its prices are those quoted, whatever was billed."""
    quoted = quotes.accepted_totals(work, [row.id for row in page.rows])
    rows = tuple(
        replace(row, stage=money_apart(row.stage), price=str(quoted.get(row.id, row.price)))
        for row in page.rows
    )
    counts: Counter[str] = Counter()
    for stage, count in page.counts.items():
        counts[money_apart(stage)] += count
    return replace(page, rows=rows, counts=dict(counts))


@dataclass(frozen=True, slots=True)
class UnpaidRow:
    """A lot whose warranty is in force, though a payment of its invoice did not hold and it is owed again."""

    lot_id: str
    lot: str
    company: str
    invoice: str
    warranty: str
    bounced_on: date


@dataclass(frozen=True, slots=True)
class Today:
    """What needs a hand on it today, in the office.

    Lots of a package stand in it until their quotes are out, and not by themselves. `differing`: stops on
    which two phones entered different things. Of those treated, `sent_back` wait for their technician, and
    `explained` were sent back and have their answer. Of open invoices, `disputed` are said not to be right,
    and `broken` were promised by a day that has passed. `to_bill`: packages with treated lots that no mark is
    coming to bill, because no other lot of them has a day.
    """

    packages: tuple[PackageRow, ...]
    asked: tuple[LotRow, ...]
    to_check: tuple[LotRow, ...]
    approved: tuple[LotRow, ...]
    to_book: tuple[StopRow, ...]
    booked: tuple[StopRow, ...]
    differing: tuple[StopRow, ...]
    to_sign_off: tuple[StopRow, ...]
    explained: tuple[StopRow, ...]
    sent_back: tuple[StopRow, ...]
    #: Their check bounced, and their warranty is in force.
    unpaid: tuple[UnpaidRow, ...]
    overdue: tuple[InvoiceRow, ...]
    declined: tuple[LotRow, ...]
    promises: Promises
    exemptions: tuple[RunningOut, ...] = ()
    disputed: tuple[SaidOf, ...] = ()
    broken: tuple[SaidOf, ...] = ()
    to_bill: tuple[WaitingPackage, ...] = ()

    @property
    def needs(self) -> int:
        """How many things need a hand; what is booked or sent back waits for somebody else's."""
        return sum(
            len(part)
            for part in (
                self.packages, self.asked, self.to_check, self.approved, self.to_book, self.differing,
                self.to_sign_off, self.explained, self.unpaid, self.overdue, self.declined, self.disputed,
                self.broken, self.exemptions, self.to_bill, self.promises.trouble, self.promises.additions,
                self.promises.transfers, self.promises.renewals,
            )
        )  # fmt: skip


def today(parts: Parts, who: Actor) -> Today:
    """The office's day."""
    must_be(who, "office")

    with parts.store.reading() as work:
        rows = reads.lots(work, LotFilter(stages=("asked", "to check", "approved"), packed=False), 400)
        rows += reads.lots(work, LotFilter(stages=("declined",)), 400)
        packed = packages.rows(work, parts.today(), with_office=True)
        stops = reads.stops(work, ("unscheduled", "booked", "on site", "treated"))
        owed = reads.invoices(work, open_only=True)
        booked = tuple(s for s in stops if s.state in ("booked", "on site"))
        treated = tuple(s for s in stops if s.state == "treated")
        differing = _differing(work, booked)
        pages = records.newest_pages(work, [s.job_id for s in treated])
        exemptions = running_out(work, parts.today())
        disputed, broken = needs_a_hand(parts, work)
        unpaid = payments.unpaid_in_force(work, OWING)
        to_bill = billing.waiting_packages(work)
        waiting = promises.waiting(work, parts.today())

    def at(stage: str) -> tuple[LotRow, ...]:
        return tuple(reversed([row for row in rows if row.stage == stage]))

    return Today(
        packages=tuple(reversed(packed)),
        asked=at("asked"), to_check=at("to check"), approved=at("approved"), declined=at("declined"),
        exemptions=exemptions, promises=waiting,
        to_book=tuple(by_window([s for s in stops if s.state == "unscheduled"])),
        booked=booked, differing=differing,
        to_sign_off=tuple(s for s in treated if s.job_id not in pages),
        explained=tuple(s for s in treated if pages.get(s.job_id) == "explained"),
        sent_back=tuple(s for s in treated if pages.get(s.job_id) == "sent back"),
        unpaid=tuple(UnpaidRow(*row) for row in unpaid),
        overdue=tuple(row for row in owed if row.late(parts.today())),
        disputed=disputed, broken=broken, to_bill=tuple(to_bill),
    )  # fmt: skip


def _differing(work: Work, stops: tuple[StopRow, ...]) -> tuple[StopRow, ...]:
    """The stops on which two phones entered different things, and nobody picked yet."""
    entered = field.entries_by_job(work, [stop.job_id for stop in stops])
    return tuple(stop for stop in stops if merge(entered.get(stop.job_id, ())).conflicts)


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


def money(parts: Parts, who: Actor, *, open_only: bool, offset: int = 0, company_id: str = "") -> MoneyPage:
    """Invoices of all builders, or of one. The sums are of all that were asked for, not only those shown."""
    must_be(who, "office")
    with parts.store.reading() as work:
        only = company_id or None
        rows = reads.invoices(work, company_id=only, open_only=open_only, limit=PAGE + 1, offset=offset)
        sums = reads.invoice_sums(work, parts.today(), open_only=open_only, company_id=only)
    return MoneyPage(tuple(rows[:PAGE]), sums, offset + PAGE if len(rows) > PAGE else None, parts.today())


def subdivisions(parts: Parts, who: Actor) -> tuple[str, ...]:
    """Names of the builder's subdivisions, to choose from while typing."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        return tuple(lots.subdivisions(work, who.company_id or ""))
