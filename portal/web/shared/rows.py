"""Rows of the tables on a lot's sheets: frozen records in, cells as people read them out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from decimal import Decimal
from typing import Any

from flask import url_for
from flask_babel import gettext as _
from markupsafe import Markup

from portal.acts.sheet import InvoiceView, PaymentView
from portal.core.documents import (
    ClauseWall,
    DifferenceLine,
    InvoiceDocument,
    Line,
    LotOnInvoice,
    Offer,
    TreatedWall,
    WallAsQuoted,
)
from portal.core.pricing.explained import Step, explained
from portal.core.pricing.offer import LABELS
from portal.formats import Formats
from portal.web.security import who
from portal.web.shared import words
from portal.web.shared.pages import reads, told

Rows = list[list[Any]]


def shown() -> Formats:
    """How this reader reads amounts and days."""
    return reads()


def feet(value: Any) -> str:
    """168.00 ft"""
    return str(_("%(feet)s ft", feet=reads().fixed(value)))


def signed(shown_as: Callable[[Any], str], difference: Decimal) -> str:
    """A difference with its sign: +8.00 ft, −$12.00; nothing where nothing is different."""
    if not difference:
        return str(_("none"))
    return ("+" if difference > 0 else "−") + shown_as(abs(difference))


def where(wall: WallAsQuoted | TreatedWall | ClauseWall) -> str:
    """North side, Ground floor."""
    return str(_("%(wall)s, %(story)s", wall=upper_first(wall.label), story=wall.story))


def upper_first(label: str) -> str:
    """A label of the engine, where it begins a line."""
    return label[:1].upper() + label[1:]


def quoted_walls(walls: Iterable[WallAsQuoted]) -> Rows:
    """Stretches of exterior wall: where, length, what is outside."""
    return [[where(wall), feet(wall.feet), words.SIDING[wall.status]] for wall in walls]


def piece_words(line: Line) -> str:
    """How many pieces at which price, where a line has them."""
    if line.pieces is None:
        return ""
    return str(_("%(count)s pieces", count=reads().number(line.pieces)))


def label_of(line: Line) -> Markup | str:
    """A price line in the reader's words; the office's own lines as they were entered, with their reason."""
    own = line.label if line.what == "extra" else upper_first(line.label)
    label = own if line.what in ("extra", "difference") else told(LABELS[line.what])
    return (
        Markup('<span>{}<br><small class="quiet">{}</small></span>').format(label, line.reason)
        if line.reason
        else label
    )


def offer_lines(offer: Offer) -> Rows:
    """What, feet, rate, amount; an extra line with its reason."""
    read, currency = reads(), offer.currency
    return [
        [label_of(line), feet(line.feet) if line.feet else piece_words(line),
         read.rate(line.rate, currency), read.money(line.amount, currency)]
        for line in offer.lines
    ]  # fmt: skip


def offer_sums(offer: Offer) -> Rows:
    """The foot of the same table: subtotal, discount and tax where there are any, total."""
    read, currency = reads(), offer.currency
    sums = [(_("Subtotal"), offer.subtotal)]
    if offer.discount:
        percent = read.percent(offer.discount_percent)
        sums.append((_("Discount %(percent)s %%", percent=percent), -offer.discount))
    sums += taxes(offer)
    sums.append((_("Total"), offer.total))
    return [[words_, "", "", read.money(amount, currency)] for words_, amount in sums]


def taxes(offer: Offer) -> list[tuple[str, Decimal]]:
    """The tax: the rate book's, or each part of a table's, or none by which certificate."""
    read, exempt = reads(), offer.taxing.exempt if offer.taxing else None
    if exempt:
        says = _("Exempt: certificate %(number)s, valid until %(day)s",
                 number=exempt.number, day=read.day(exempt.last_day))  # fmt: skip
        return [(says, offer.tax)]
    if offer.taxes:
        return [
            (_("%(name)s, %(jurisdiction)s, %(percent)s %%", name=part.name, jurisdiction=part.jurisdiction,
               percent=read.percent(part.percent)), part.amount)
            for part in offer.taxes
        ]  # fmt: skip
    percent = read.percent(offer.tax_percent)
    return [(_("Tax %(percent)s %%", percent=percent), offer.tax)] if offer.tax else []


def steps(part: LotOnInvoice) -> Rows:
    """From what was quoted for a lot to what is owed for it: what and why, how much. The last is the sum."""
    read, currency = reads(), part.owed.currency
    return [[_step(step), read.money(step.amount, currency)] for step in explained(part)]


def _step(step: Step) -> str:
    says = upper_first(step.says) if isinstance(step.says, str) else told(step.says)
    return f"{says}: {step.why}" if step.why else says


def due_of(bill: InvoiceDocument) -> Rows:
    """From an invoice's total to what is due of it, where the two differ."""
    read, currency = reads(), bill.owed.currency
    if not (bill.deposits or bill.retained):
        return []
    rows = [[_("Total"), read.money(bill.owed.total, currency)]]
    rows += [
        [_("Deposit, asked for by %(number)s", number=one.number), read.money(-one.amount, currency)]
        for one in bill.deposits
    ]  # fmt: skip
    if bill.retained:
        rows.append([_("Held back until the office releases it"), read.money(-bill.retained, currency)])
    return [*rows, [_("Due by %(day)s", day=read.day(bill.due_on)), read.money(bill.due, currency)]]


def clause_walls(walls: Iterable[ClauseWall], currency: str) -> Rows:
    """What each wall costs more once its siding is on."""
    return [[where(wall), feet(wall.feet), reads().money(wall.amount, currency)] for wall in walls]


def treated_walls(walls: Iterable[TreatedWall]) -> Rows:
    """Where, length, siding as found, each coat's time."""
    return [
        [where(wall), feet(wall.feet), words.SIDING[wall.found], span(wall.first_start, wall.first_end),
         span(wall.second_start, wall.second_end)]
        for wall in walls
    ]  # fmt: skip


def promised_walls(walls: Iterable[TreatedWall], interior: Decimal) -> Rows:
    """The same for whoever lives there: where, length, siding on that day, coats."""
    rows = [[where(wall), feet(wall.feet), words.SIDING[wall.found], str(wall.coats)] for wall in walls]
    return rows + ([[_("Interior walls"), feet(interior), "", "1"]] if interior else [])


def span(start: datetime | None, end: datetime | None) -> str:
    """8:10 AM to 8:22 AM"""
    if start is None or end is None:
        return ""
    return str(_("%(start)s to %(end)s", start=reads().clock(start), end=reads().clock(end)))


def differences(lines: Iterable[DifferenceLine], currency: str, photos: Callable[[str], Markup]) -> Rows:
    """What the siding clause changed: which stretch and why with its photos, feet, rate, amount."""
    read = reads()
    return [
        [_difference(line, photos),
         feet(line.feet) if line.feet else "", read.rate(line.rate, currency) if line.rate else "",
         read.money(line.amount, currency)]
        for line in lines
    ]  # fmt: skip


def _difference(line: DifferenceLine, photos: Callable[[str], Markup]) -> Markup | str:
    said = str(_("%(wall)s: %(why)s", wall=upper_first(line.label), why=line.why))
    # A line of the engine's own, such as the minimum charge, is of no wall.
    return (
        said
        if line.key in LABELS or line.key == "office"
        else Markup("<div>{}{}</div>").format(said, photos(line.key))
    )


def payments(invoice: InvoiceView) -> Rows:
    """Money that came: day, how, reference, amount; the office can open each."""
    read, currency = reads(), invoice.document.owed.currency

    def day(came: PaymentView) -> Any:
        shown = read.day(came.received_on)
        office = who().kind == "office"
        return {"text": shown, "url": url_for("office.payment", payment_id=came.id)} if office else shown

    return [
        [day(came), words.METHODS[came.method], came.reference,
         read.money(came.amount, currency)]
        for came in invoice.payments
    ]  # fmt: skip
