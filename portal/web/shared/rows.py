"""Rows of the tables on a lot's sheets: frozen records in, cells as people read them out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from decimal import Decimal
from typing import Any

from flask_babel import gettext as _
from markupsafe import Markup

from portal.acts.sheet import InvoiceView
from portal.core.documents import ClauseWall, DifferenceLine, Line, Offer, TreatedWall, WallAsQuoted
from portal.core.pricing.offer import LABELS
from portal.formats import Formats
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
    label = line.label if line.what in ("extra", "difference") else told(LABELS[line.what])
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
         read.money(line.rate, currency), read.money(line.amount, currency)]
        for line in offer.lines
    ]  # fmt: skip


def offer_sums(offer: Offer) -> Rows:
    """The foot of the same table: subtotal, discount and tax where there are any, total."""
    read, currency = reads(), offer.currency
    sums = [(_("Subtotal"), offer.subtotal)]
    if offer.discount:
        percent = read.percent(offer.discount_percent)
        sums.append((_("Discount %(percent)s %%", percent=percent), -offer.discount))
    if offer.tax:
        sums.append((_("Tax %(percent)s %%", percent=read.percent(offer.tax_percent)), offer.tax))
    sums.append((_("Total"), offer.total))
    return [[words_, "", "", read.money(amount, currency)] for words_, amount in sums]


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
         feet(line.feet) if line.feet else "", read.money(line.rate, currency) if line.rate else "",
         read.money(line.amount, currency)]
        for line in lines
    ]  # fmt: skip


def _difference(line: DifferenceLine, photos: Callable[[str], Markup]) -> Markup | str:
    said = str(_("%(wall)s: %(why)s", wall=upper_first(line.label), why=line.why))
    # A line of the engine's own, such as the minimum charge, is of no wall.
    return said if line.key in LABELS else Markup("<div>{}{}</div>").format(said, photos(line.key))


def payments(invoice: InvoiceView) -> Rows:
    """Money that came: day, how, reference, amount."""
    read, currency = reads(), invoice.document.owed.currency
    return [
        [read.day(came.received_on), words.METHODS[came.method], came.reference,
         read.money(came.amount, currency)]
        for came in invoice.payments
    ]  # fmt: skip
