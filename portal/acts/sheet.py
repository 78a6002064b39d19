"""A lot's sheet, whole, as this person may see it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from portal.acts.amending import pages_of
from portal.acts.billing import invoice_document
from portal.acts.covering import warranty_document
from portal.acts.editions import days_off
from portal.acts.keeping import until_of
from portal.acts.lot_state import if_own, place_of, stage_for
from portal.acts.offering import draft, quote_document, title_of
from portal.acts.parts import Actor, Parts, has
from portal.acts.plan_views import Origin, origin_of
from portal.acts.releasing import due_now
from portal.acts.treating import record_document
from portal.core.answer import without_cost
from portal.core.documents import (
    InvoiceDocument,
    Place,
    QuoteDocument,
    RecordPageDocument,
    TreatmentDocument,
    WarrantyDocument,
)
from portal.core.documents.pages import is_sent_back
from portal.core.history import VERBS
from portal.core.journey import OWING, UNBOOKED, UNTREATED, sheet_states, state_on
from portal.core.words import Said
from portal.store import books, consents, files, lots, owed, payments, quotes, trail
from portal.store.transaction import Work

#: Lines of history that are the office's own affair.
OFFICE_ONLY = frozenset(
    {
        "started",
        "extra added",
        "extra dropped",
        "approved",
        "under the floor",
        "revised",
        "kept held",
        "signed off",
        "entered differently",
        "picked",
        "sent back",
        "forgotten",
        "trouble reported",
        "trouble answered",
        "trouble booked",
        "trouble found",
        "trouble decided",
        "trouble done",
        "trouble closed",
        "recall",
        "recall letter left out",
    }
)
#: Lines of history that tell of money.
OF_MONEY = frozenset({
    "invoiced", "paid", "bounced", "credit used", "written off", "chased", "disputed", "dispute settled",
    "payment promised",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class TakeoffView:
    """The takeoff as it stands: the house as entered, and the engine's answer."""

    edition: int
    house: dict[str, Any]
    estimate: dict[str, Any]
    entered_by: str
    entered_at: datetime


@dataclass(frozen=True, slots=True)
class ExtraView:
    """A line the office added."""

    id: str
    label: str
    reason: str
    amount: Decimal
    added_by: str


@dataclass(frozen=True, slots=True)
class RevisionView:
    """A revision. `document` is frozen once sent; before, for the office, it is how it would be sent now.

    `first_yes_by`: whose yes came before that of `decided_by`, where it took two to accept it.
    """

    number: int
    title: str
    state: str
    frozen: bool
    document: QuoteDocument | None
    fingerprint: str
    total: Decimal | None
    expires_on: date | None
    approved_by: str
    sent_at: datetime | None
    decided_at: datetime | None
    decided_by: str
    purchase_order: str
    decline_reason: str
    remarks: str
    extras: tuple[ExtraView, ...]
    first_yes_by: str = ""


@dataclass(frozen=True, slots=True)
class JobView:
    """The treatment's booking."""

    id: str
    number: str
    state: str
    technician: str
    technician_id: str | None
    day: date | None
    notes: str


@dataclass(frozen=True, slots=True)
class PaymentView:
    """Money that came."""

    amount: Decimal
    method: str
    reference: str
    received_on: date
    recorded_by: str
    id: str = ""


@dataclass(frozen=True, slots=True)
class InvoiceView:
    """An invoice with what is paid of it. `overdue` as of today."""

    id: str
    state: str
    document: InvoiceDocument
    paid: Decimal
    open: Decimal
    overdue: bool
    payments: tuple[PaymentView, ...]
    #: What is due of it: what is open without what is held back.
    due: Decimal = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class WarrantyView:
    """The warranty. `link` is what its QR leads to."""

    number: str
    state: str
    reason: str
    begins_on: date | None
    ends_on: date | None
    document: WarrantyDocument
    link: str


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """Who did what."""

    at: datetime
    by: str
    verb: Said
    subject: str
    details: dict[str, Any]


@dataclass(frozen=True, slots=True)
class PackageName:
    """The package a lot is priced in."""

    id: str
    number: str
    name: str


@dataclass(frozen=True, slots=True)
class LotSheet:
    """One lot with everything on it. `sheets` are the states of the five sheets, 1 to 5.

    To somebody who does not see money (`sees_money`) there is no invoice, and no stage that tells of one.
    """

    id: str
    version: int
    company: str
    place: Place
    stage: str
    sheets: tuple[str, ...]
    siding_starts: date | None
    insulation_starts: date | None
    notes: str
    takeoff: TakeoffView
    revisions: tuple[RevisionView, ...]
    job: JobView | None
    record: TreatmentDocument | None
    record_fingerprint: str
    invoice: InvoiceView | None
    warranty: WarrantyView | None
    history: tuple[HistoryLine, ...]
    may_change: bool
    may_answer: bool
    sees_money: bool
    package: PackageName | None = None
    plan: Origin | None = None
    framing_done: date | None = None
    #: The office's days off, where a line of days is drawn by them.
    days_off: tuple[date, ...] = ()
    #: The further pages of the record, in their order.
    pages: tuple[RecordPageDocument, ...] = ()
    #: Until when the record is kept (None: for good), and whether it was let go since.
    kept_until: date | None = None
    record_gone: bool = False
    company_id: str = ""
    #: Its check bounced while its warranty was in force, and it is owed again: the day. The office's to know.
    bounced_on: date | None = None
    #: house, retreatment or addition; of the latter two, the lot they are tied to.
    kind: str = "house"
    of_lot_id: str | None = None
    #: Whether it is an owner's own, not a builder's.
    is_owners: bool = False

    @property
    def may_give_siding_day(self) -> bool:
        """Whether the day siding starts may still be given: until a treatment is booked."""
        return self.stage in UNBOOKED

    @property
    def may_give_frame_days(self) -> bool:
        """Whether the days of the open frame may still be given: until it is treated."""
        return self.stage in UNTREATED

    @property
    def sent_back(self) -> bool:
        """Whether the record was sent back and waits for its technician's page."""
        return is_sent_back(tuple(page.kind for page in self.pages))

    @property
    def revision(self) -> RevisionView | None:
        """The newest revision this person may see."""
        return self.revisions[0] if self.revisions else None

    @property
    def accepted(self) -> RevisionView | None:
        """The revision that was accepted."""
        return next((r for r in self.revisions if r.state == "accepted"), None)


def sheet(parts: Parts, who: Actor, lot_id: str) -> LotSheet:
    """The lot's sheet. Raises `NotFound` where it is not this person's."""
    with parts.store.reading() as work:
        found = files.lot_file(work, lot_id)
        lot, record, today = if_own(who, found.lot), found.record, parts.today()
        stage, sees_money = stage_for(who, lot, today), has(who, "money")
        # Held in a name of its own until the end: a draft then finds it without asking again.
        takeoff = lots.newest_takeoff(work, lot.id)
        return LotSheet(
            id=lot.id, version=lot.version, company=lot.company.name, place=place_of(lot), stage=stage,
            sheets=sheet_states(stage), siding_starts=lot.siding_starts,
            insulation_starts=lot.insulation_starts, notes=lot.notes, takeoff=_takeoff(who, takeoff),
            revisions=_revisions(parts, work, who, lot, found.quote), job=_job(found.job),
            record=record_document(record) if record and record.document else None,
            record_fingerprint=record.fingerprint if record else "",
            invoice=_invoice(work, found.invoice, today) if sees_money else None,
            warranty=_warranty(parts, found.warranty, today),
            history=_history(work, who, lot), may_change=stage in ("asked", "to check", "approved"),
            package=_package(lot.package),
            may_answer=has(who, "accept"), sees_money=sees_money,
            plan=origin_of(work, lot, takeoff.house), framing_done=lot.framing_done,
            days_off=_days_off(work, lot, today),
            pages=pages_of(work, lot.id) if found.pages else (),
            kept_until=_kept_until(record, found.warranty),
            record_gone=record is not None and not record.document, company_id=lot.company_id,
            bounced_on=_bounced_on(work, who, found), kind=lot.kind, of_lot_id=lot.of_lot_id,
            is_owners=lot.company.kind == "owner",
        )  # fmt: skip


def _bounced_on(work: Work, who: Actor, found: Any) -> date | None:
    """Asked for only where it could be: most that is owed is not in force yet."""
    invoice, warranty = found.invoice, found.warranty
    if who.kind != "office" or invoice is None or warranty is None:
        return None
    if invoice.state not in OWING or warranty.state != "in force":
        return None
    rows = payments.bounced_on(work, [invoice.id])
    return rows[0][1].on if rows else None


def _kept_until(record: Any, warranty: Any) -> date | None:
    if record is None or warranty is None or not record.document:
        return None
    return until_of(record_document(record), warranty_document(warranty), warranty.ends_on)


def _package(row: Any) -> PackageName | None:
    return PackageName(row.id, row.number, row.name) if row else None


def _days_off(work: Work, lot: Any, today: date) -> tuple[date, ...]:
    """Asked for only where a line of days is drawn by them."""
    if lot.siding_starts is None or lot.stage not in UNBOOKED:
        return ()
    return days_off(quotes.edition_on(work, "firm", today).document)


def _takeoff(who: Actor, row: Any) -> TakeoffView:
    estimate = row.estimate if who.kind == "office" else without_cost(row.estimate)
    return TakeoffView(row.edition, row.house, estimate, row.entered_by, row.entered_at)


def _revisions(parts: Parts, work: Work, who: Actor, lot: Any, quote: Any) -> tuple[RevisionView, ...]:
    if quote is None:
        return ()
    rows = quotes.revisions(work, quote.id)
    # A builder knows of what was sent; what the office still works on is not offered yet.
    shown = [row for row in rows if row.sent_at or who.kind != "builder"]
    return tuple(_revision(parts, work, lot, row) for row in shown)


def _revision(parts: Parts, work: Work, lot: Any, row: Any) -> RevisionView:
    state = state_on(row.state, row.expires_on, parts.today())
    frozen = row.document is not None
    document = quote_document(row) if frozen else None
    if not frozen and row.state in ("to check", "approved"):
        document = draft(parts, work, lot, row)
    return RevisionView(
        number=row.number, title=title_of(row), state=state, frozen=frozen,
        document=document, fingerprint=row.fingerprint or "", total=row.total, expires_on=row.expires_on,
        approved_by=row.approved_by, sent_at=row.sent_at, decided_at=row.decided_at,
        decided_by=row.decided_by,
        purchase_order=row.purchase_order, decline_reason=row.decline_reason, remarks=row.remarks,
        extras=tuple(ExtraView(e.id, e.label, e.reason, e.amount, e.added_by) for e in row.extras),
        first_yes_by=_first_yes_by(work, row),
    )  # fmt: skip


def _first_yes_by(work: Work, row: Any) -> str:
    yeses = consents.consents(work, row.id) if row.state == "accepted" else []
    return yeses[0].name if len(yeses) > 1 else ""


def _job(row: Any) -> JobView | None:
    if row is None:
        return None
    technician = row.technician.name if row.technician else ""
    return JobView(row.id, row.number, row.state, technician, row.technician_id, row.day, row.notes)


def _invoice(work: Work, row: Any, today: date) -> InvoiceView | None:
    if row is None:
        return None
    came = owed.payments(work, row.id)
    still_open = books.open_of(work, row.id)
    # What is held back is not due: asked for apart only where something is.
    due = books.receivable_of(work, row.id) if row.retained else still_open
    return InvoiceView(
        id=row.id, state=row.state, document=invoice_document(row), paid=row.total - still_open,
        open=still_open, overdue=due > 0 and row.state in OWING and _due_on(work, row) < today,
        due=due,
        payments=tuple(
            PaymentView(part, p.method, p.reference, p.received_on, p.recorded_by, p.id) for p, part in came
        ),
    )  # fmt: skip


def _due_on(work: Work, row: Any) -> date:
    """Retainage that was released has a day of its own."""
    day: date = due_now(work, row) if row.retained else row.due_on
    return day


def _warranty(parts: Parts, row: Any, today: date) -> WarrantyView | None:
    if row is None:
        return None
    return WarrantyView(
        row.number, state_on(row.state, row.ends_on, today), row.reason, row.begins_on, row.ends_on,
        warranty_document(row), parts.links.warranty(row.link_token),
    )  # fmt: skip


def _history(work: Work, who: Actor, lot: Any) -> tuple[HistoryLine, ...]:
    lines = trail.history_of(work, lot.id)
    unseen = frozenset() if who.kind != "builder" else OFFICE_ONLY
    unseen = unseen if has(who, "money") else unseen | OF_MONEY
    lines = [line for line in lines if line.verb not in unseen]
    return tuple(
        HistoryLine(
            line.at, line.by, VERBS[line.verb], line.subject, line.details if who.kind == "office" else {}
        )
        for line in lines
    )
