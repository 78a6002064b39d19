"""Frozen rows for pages that list things: one query a list, only the columns shown."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, Select, case, func, literal, or_, select, true, tuple_

from portal.core.journey import ENDS_AS, OWING, state_on
from portal.core.money.dues import due_by, dues
from portal.store.books import open_by_invoice
from portal.store.dues import releases
from portal.store.tables import (
    Company,
    Invoice,
    Job,
    Lot,
    Package,
    Person,
    Quote,
    Revision,
    Subdivision,
)
from portal.store.transaction import Work


def _columns(*columns: Any) -> Select[Any]:
    # More columns than the type of a select can name.
    return select(*columns)


@dataclass(frozen=True, slots=True)
class LotRow:
    """A lot in a list."""

    id: str
    name: str
    company: str
    subdivision: str
    house_number: str
    street: str
    stage: str
    feet: str
    price: str
    siding_starts: date | None
    insulation_starts: date | None
    changed_at: datetime
    package_id: str | None = None
    package: str | None = None


@dataclass(frozen=True, slots=True)
class LotFilter:
    """What a list of lots shows. `after` is the (changed_at, id) of the last row of the page before.

    With `today`, a stage that has ended by itself is shown and found as what it ended as. `packed` is
    whether to show only lots in a package, or only those in none; `quoted` only lots of which a quote was
    sent, and `lot_id` only this one.
    """

    company_id: str | None = None
    stages: tuple[str, ...] = ()
    subdivision: str = ""
    text: str = ""
    after: tuple[datetime, str] | None = None
    today: date | None = None
    packed: bool | None = None
    quoted: bool = False
    lot_id: str | None = None


def lots(work: Work, which: LotFilter, limit: int) -> list[LotRow]:
    """Lots by the time they last changed, newest first."""
    query = (
        _columns(
            Lot.id, Lot.name, Company.name, func.coalesce(Subdivision.name, ""), Lot.house_number, Lot.street,
            Lot.stage, Lot.holds_until, Lot.feet, Lot.price, Lot.siding_starts, Lot.insulation_starts,
            Lot.changed_at, Package.id, Package.number,
        )
        .join(Company, Company.id == Lot.company_id)
        .outerjoin(Subdivision, Subdivision.id == Lot.subdivision_id)
        .outerjoin(Package, Package.id == Lot.package_id)
        .order_by(Lot.changed_at.desc(), Lot.id.desc())
        .limit(limit)
    )  # fmt: skip
    rows = []
    for row in work.session.execute(_filtered(query, which)):
        values = list(row)
        until = values.pop(7)
        if which.today is not None:
            values[6] = state_on(values[6], until, which.today)
        rows.append(LotRow(*values))
    return rows


def _at_stages(stages: tuple[str, ...], today: date | None) -> ColumnElement[bool]:
    if today is None:
        return Lot.stage.in_(stages)
    over = Lot.holds_until < today
    still = [s for s in stages if s in ENDS_AS]
    ended = [begun for begun, ends in ENDS_AS.items() if ends in stages]
    return or_(
        Lot.stage.in_([s for s in stages if s not in ENDS_AS]),
        Lot.stage.in_(still) & (Lot.holds_until.is_(None) | ~over),
        Lot.stage.in_(ended) & over,
    )


def _filtered(query: Select[Any], which: LotFilter) -> Select[Any]:
    if which.company_id is not None:
        query = query.where(Lot.company_id == which.company_id)
    if which.stages:
        query = query.where(_at_stages(which.stages, which.today))
    if which.lot_id is not None:
        query = query.where(Lot.id == which.lot_id)
    if which.quoted:
        sent = select(Quote.lot_id).join(Revision, Revision.quote_id == Quote.id)
        query = query.where(Lot.id.in_(sent.where(Revision.sent_at.is_not(None))))
    if which.packed is not None:
        query = query.where(Lot.package_id.is_not(None) if which.packed else Lot.package_id.is_(None))
    if which.subdivision:
        query = query.where(Subdivision.name == which.subdivision)
    if which.text:
        # % and _ are what a person typed, not wildcards.
        query = query.where(
            or_(
                Lot.name.icontains(which.text, autoescape=True),
                Lot.street.icontains(which.text, autoescape=True),
                Lot.house_number == which.text,
                Company.name.icontains(which.text, autoescape=True),
            )
        )
    if which.after is not None:
        query = query.where(tuple_(Lot.changed_at, Lot.id) < which.after)
    return query


def stage_counts(work: Work, company_id: str | None, today: date | None = None) -> dict[str, int]:
    """How many lots stand in each stage, as of today where it is given."""
    over = func.count(case((Lot.holds_until < today, 1))) if today else literal(0)
    query = select(Lot.stage, func.count(), over).group_by(Lot.stage)
    if company_id is not None:
        query = query.where(Lot.company_id == company_id)
    counts: Counter[str] = Counter()
    for stage, count, ended in work.session.execute(query):
        ended = ended if stage in ENDS_AS else 0
        counts[stage] += count - ended
        counts[ENDS_AS.get(stage, stage)] += ended
    return {stage: count for stage, count in counts.items() if count}


@dataclass(frozen=True, slots=True)
class InvoiceRow:
    """An invoice in a list. `open` is what is still asked for, `total` what it asked for; in dollars.

    Of `open`, `held` is held back and not due; `due_on` is the day by which the first of the rest is due.
    """

    id: str
    number: str
    lot_id: str
    lot: str
    company: str
    total: Decimal
    open: Decimal
    state: str
    issued_on: date
    due_on: date
    held: Decimal = Decimal("0.00")

    @property
    def due(self) -> Decimal:
        """What is due, now or by its day: what is open without what is held back."""
        return self.open - self.held

    def late(self, today: date) -> bool:
        """Whether any of it is past its day."""
        return self.due > 0 and self.due_on < today

    @property
    def paid(self) -> Decimal:
        """What is paid, or was taken off by a credit note or a write-off."""
        return self.total - self.open


def invoices(
    work: Work, *, company_id: str | None = None, open_only: bool = False, limit: int = 200, offset: int = 0
) -> list[InvoiceRow]:
    """Invoices, what is due first on top."""
    asked = open_by_invoice()
    query = (
        _columns(
            Invoice.id, Invoice.number, Invoice.lot_id, Lot.name, Company.name, Invoice.total,
            asked.c.open, Invoice.state, Invoice.issued_on, Invoice.due_on, asked.c.held, Invoice.retained,
        )
        .join(Lot, Lot.id == Invoice.lot_id).join(Company, Company.id == Invoice.company_id)
        .outerjoin(asked, asked.c.invoice_id == Invoice.id)
        .order_by(Invoice.due_on, Invoice.number).limit(limit).offset(offset)
    )  # fmt: skip
    if company_id is not None:
        query = query.where(Invoice.company_id == company_id)
    if open_only:
        query = query.where(Invoice.state.in_(OWING))
    found = list(work.session.execute(query))
    released = releases(work, [row[0] for row in found if row[-1]])
    rows = []
    for row in found:
        values: list[Any] = [value if value is not None else Decimal("0.00") for value in row[:-1]]
        one = InvoiceRow(*values)
        rows.append(replace(one, due_on=dues(one.due_on, one.due, released.get(one.id, ()))[0].day))
    return sorted(rows, key=lambda row: (row.due_on, row.number))


@dataclass(frozen=True, slots=True)
class InvoiceSums:
    """Sums over invoices, in dollars. `overdue` is what is open past its day."""

    count: int
    total: Decimal
    paid: Decimal
    overdue: Decimal

    @property
    def open(self) -> Decimal:
        """What is still owed."""
        return self.total - self.paid


def invoice_sums(
    work: Work, today: date, *, open_only: bool = False, company_id: str | None = None
) -> InvoiceSums:
    """What invoices add up to: all of them, or those not fully paid; of one company where it is given."""
    own = true() if company_id is None else Invoice.company_id == company_id
    owing = Invoice.state.in_(OWING) & own
    wanted = owing if open_only else (Invoice.state != "credited") & own
    asked = open_by_invoice()
    still = select(func.sum(asked.c.open)).join(Invoice, Invoice.id == asked.c.invoice_id)
    count, total = work.session.execute(select(func.count(), func.sum(Invoice.total)).where(wanted)).one()
    left = work.session.scalar(still.where(wanted)) or Decimal("0.00")
    return InvoiceSums(count, total or Decimal("0.00"), (total or Decimal("0.00")) - left, _late(work, today))


def _late(work: Work, today: date) -> Decimal:
    """What is past its day: not what is held back, nor what was released of it and is due later."""
    asked = open_by_invoice()
    query = (
        _columns(Invoice.id, Invoice.due_on, asked.c.open, asked.c.held, Invoice.retained)
        .join(asked, asked.c.invoice_id == Invoice.id)
        .where(Invoice.state.in_(OWING), Invoice.due_on < today)
    )
    found = list(work.session.execute(query))
    released = releases(work, [row[0] for row in found if row[-1]])
    return sum(
        (due_by(dues(due_on, open_ - held, released.get(id_, ())), today - timedelta(days=1))
         for id_, due_on, open_, held, _retained in found), Decimal("0.00"),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class StopRow:
    """A booked stop in a list."""

    job_id: str
    number: str
    lot_id: str
    lot: str
    company: str
    house_number: str
    street: str
    town: str
    technician: str
    day: date | None
    state: str
    siding_starts: date | None
    insulation_starts: date | None


def stops(work: Work, states: tuple[str, ...]) -> list[StopRow]:
    """Jobs in any of these states, by day, those without a day last."""
    query = (
        _columns(
            Job.id, Job.number, Job.lot_id, Lot.name, Company.name, Lot.house_number, Lot.street, Lot.town,
            func.coalesce(Person.name, ""), Job.day, Job.state, Lot.siding_starts, Lot.insulation_starts,
        )
        .join(Lot, Lot.id == Job.lot_id).join(Company, Company.id == Lot.company_id)
        .outerjoin(Person, Person.id == Job.technician_id)
        .where(Job.state.in_(states)).order_by(Job.day.is_(None), Job.day, Job.number)
    )  # fmt: skip
    return [StopRow(*row) for row in work.session.execute(query)]
