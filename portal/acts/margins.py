"""Margin for the office to look at: of one lot, and in sums over a span of days."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from portal.acts.flooring import owners
from portal.acts.lot_state import lot_for
from portal.acts.offering import costed, title_of
from portal.acts.parts import Actor, Parts, must_be
from portal.core.documents import (
    CostDocument,
    CreditNoteDocument,
    InvoiceDocument,
    TreatmentDocument,
    from_stored,
)
from portal.core.documents.cost import share_left
from portal.core.errors import BadInput, Problem
from portal.core.money.amount import cents
from portal.core.pricing.margin import Actual, actual
from portal.core.treatment.product import Product, read_product
from portal.core.words import say
from portal.store import margins, quotes
from portal.store.margins import QuotedRow, TreatedRow
from portal.store.transaction import Work

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Treated:
    """A treated job. `billed` is what its invoice asks for it without tax and without what was credited;
    None where it has no invoice yet. Nothing is `planned` where it was approved before that was kept."""

    lot_id: str
    lot: str
    company: str
    subdivision: str
    planned: CostDocument | None
    done: Actual | None
    billed: Decimal | None

    @property
    def known(self) -> bool:
        """Whether it stands in the sums."""
        return self.planned is not None and self.planned.known

    @property
    def revenue(self) -> Decimal:
        """What is billed for it; until then what was quoted."""
        assert self.planned is not None
        return self.planned.revenue if self.billed is None else self.billed

    @property
    def percent(self) -> Decimal | None:
        """What is left of that, in percent."""
        return share_left(self.revenue, self.done.cost) if self.done else None


@dataclass(frozen=True, slots=True)
class LotMargin:
    """Of one revision: what it costs and leaves, why it was approved under the floor and by whom; and what
    the job took, of the revision that it was done by. `kept` is whether it was approved so; `owners` are who
    can approve it, where it is under the floor."""

    title: str
    cost: CostDocument
    kept: bool
    reason: str
    reason_by: str
    treated: Treated | None
    owners: tuple[str, ...] = ()


def of_lot(parts: Parts, who: Actor, lot_id: str, number: int | None = None) -> LotMargin | None:
    """What a lot's quote leaves; of the revision `number`, or the newest. None where nothing was kept."""
    must_be(who, "office")
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id)
        quote = quotes.quote_of(work, lot.id)
        rows = quotes.revisions(work, quote.id) if quote else []
        row = next((one for one in rows if number is None or one.number == number), None)
        if row is None:
            return None
        kept = margins.margin(work, row.id)
        if row.state == "to check" or (row.state == "approved" and kept is None):
            cost = costed(parts, work, lot, row)[1]
            return LotMargin(title_of(row), cost, False, "", "", None, owners(work) if cost.under else ())
        if kept is None:
            return None
        cost = from_stored(CostDocument, kept.document)
        done = _treated(work, margins.treated(work, lot_id=lot.id)) if row.state == "accepted" else []
        return LotMargin(title_of(row), cost, True, kept.reason, kept.reason_by, done[0] if done else None)


@dataclass(frozen=True, slots=True)
class Quoted:
    """Quotes of one builder or subdivision in a sum; `unknown` are those of which the cost is not."""

    name: str
    count: int
    unknown: int
    revenue: Decimal
    cost: Decimal

    @property
    def margin(self) -> Decimal:
        """What they leave."""
        return self.revenue - self.cost

    @property
    def percent(self) -> Decimal | None:
        """The same in percent."""
        return share_left(self.revenue, self.cost)


@dataclass(frozen=True, slots=True)
class Done:
    """Treated jobs of one builder or subdivision: sums as planned, and as it was."""

    name: str
    count: int
    unknown: int
    gallons: tuple[Decimal, Decimal]
    minutes: tuple[Decimal, Decimal]
    revenue: tuple[Decimal, Decimal]
    cost: tuple[Decimal, Decimal]

    @property
    def percent(self) -> tuple[Decimal | None, Decimal | None]:
        """What is left, as planned and as it was."""
        planned, was = (share_left(*pair) for pair in zip(self.revenue, self.cost, strict=True))
        return planned, was


@dataclass(frozen=True, slots=True)
class MarginPage:
    """A span of days: quotes sent, quotes accepted, jobs treated; each in groups, the last of them all."""

    since: date
    until: date
    by: str
    sent: tuple[Quoted, ...]
    accepted: tuple[Quoted, ...]
    done: tuple[Done, ...]
    jobs: tuple[Treated, ...]


def look(
    parts: Parts, who: Actor, since: date | None = None, until: date | None = None, by: str = "builder"
) -> MarginPage:
    """Margins from `since` to `until`, both counted in; without them, of this year so far."""
    must_be(who, "office")
    until = until or parts.today()
    since = since or date(until.year, 1, 1)
    if since > until:
        raise BadInput([Problem("until", say("The last day is before the first."))])
    begin, end = (datetime.combine(day, time(), tzinfo=parts.zone)
                  for day in (since, until + timedelta(days=1)))  # fmt: skip
    with parts.store.reading() as work:
        sent = margins.quoted(work, begin, end, accepted=False)
        accepted = margins.quoted(work, begin, end, accepted=True)
        jobs = _treated(work, margins.treated(work, since, until))
    return MarginPage(
        since, until, by, _quoted(sent, by), _quoted(accepted, by), _done(jobs, by), tuple(jobs)
    )


def _treated(work: Work, rows: list[TreatedRow]) -> list[Treated]:
    notes = margins.credited_on(work, sorted({row.invoice_id for row in rows if row.invoice_id}))
    products: dict[int, Product] = {}
    found = []
    for row in rows:
        planned = from_stored(CostDocument, row.planned) if row.planned else None
        record = from_stored(TreatmentDocument, row.record)
        done = actual(planned, record, _product(work, planned.product_edition, products)) if planned else None
        billed = _billed(row, record, notes.get(row.invoice_id or "", []))
        found.append(Treated(row.lot_id, row.lot, row.company, row.subdivision, planned, done, billed))
    return found


def _product(work: Work, edition: int, known: dict[int, Product]) -> Product:
    if edition not in known:
        document = quotes.edition_numbered(work, "product", edition).document
        known[edition] = read_product(document["figures"])
    return known[edition]


def _billed(row: TreatedRow, record: TreatmentDocument, notes: list[dict[str, Any]]) -> Decimal | None:
    """Of a lot's invoice: its part without tax, less what was taken back of its lines."""
    if row.invoice is None:
        return None
    parts = from_stored(InvoiceDocument, row.invoice).parts
    at = next((i for i, part in enumerate(parts) if part.treatment == record.number), 0)
    owed = parts[at].owed
    back = sum((
        line.amount for note in notes for line in from_stored(CreditNoteDocument, note).lines
        if not line.at or line.at.partition(".")[0] == str(at)
    ), ZERO)  # fmt: skip
    return owed.subtotal - owed.discount - cents(back * (100 - owed.discount_percent) / 100)


def _groups(rows: Iterable[Any], by: str) -> list[tuple[str, list[Any]]]:
    found: dict[str, list[Any]] = {}
    for row in rows:
        found.setdefault(row.company if by == "builder" else row.subdivision, []).append(row)
    return sorted(found.items(), key=lambda item: (not item[0], item[0].casefold()))


def _quoted(rows: list[QuotedRow], by: str) -> tuple[Quoted, ...]:
    groups = [*_groups(rows, by), ("", rows)] if rows else []
    return tuple(_quoted_sum(name, these) for name, these in groups)


def _quoted_sum(name: str, rows: list[QuotedRow]) -> Quoted:
    known = [(row.revenue, row.cost) for row in rows if row.revenue is not None and row.cost is not None]
    revenue, cost = (sum((pair[i] for pair in known), ZERO) for i in (0, 1))
    return Quoted(name, len(rows), len(rows) - len(known), revenue, cost)


def _done(jobs: list[Treated], by: str) -> tuple[Done, ...]:
    groups = [*_groups(jobs, by), ("", jobs)] if jobs else []
    return tuple(_done_sum(name, these) for name, these in groups)


def _done_sum(name: str, jobs: list[Treated]) -> Done:
    both = [(job, job.planned, job.done) for job in jobs if job.planned and job.done]
    known = [(job, plan, was) for job, plan, was in both if plan.known]

    def pair(values: Iterable[tuple[Decimal, Decimal]]) -> tuple[Decimal, Decimal]:
        listed = list(values)
        return sum((one for one, _ in listed), ZERO), sum((two for _, two in listed), ZERO)

    return Done(
        name, len(jobs), len(jobs) - len(known),
        gallons=pair((plan.concentrate, was.concentrate) for _, plan, was in both),
        minutes=pair((plan.minutes, was.minutes) for _, plan, was in both),
        revenue=pair((plan.revenue, job.revenue) for job, plan, _ in known),
        cost=pair((plan.cost, was.cost) for _, plan, was in known),
    )  # fmt: skip
