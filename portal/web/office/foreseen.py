"""What new rates change, as the page shows it before they can be entered."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from flask import request, url_for
from flask_babel import gettext as _

from portal.acts.foreseeing import Again, foresee
from portal.core.documents import fingerprint
from portal.web.security import parts, who
from portal.web.shared.pages import reads
from portal.web.shared.rows import Rows, signed


@dataclass(frozen=True, slots=True)
class Foreseen:
    """Quotes then and by these rates, and their sums; `print` tells whether the rates changed since."""

    rows: Rows
    foot: Rows
    print: str
    up: int
    down: int
    same: int


def foreseen(document: dict[str, Any]) -> Foreseen:
    """The last quotes by these rates. Raises `BadInput`."""
    found = foresee(parts(), who(), document)
    known = [(one.before, one.after) for one in found if one.after is not None]
    currency = next((one.currency for one in found if one.after is not None), "")
    before = sum((was for was, _now in known), Decimal("0.00"))
    after = sum((now for _was, now in known), Decimal("0.00"))
    foot = [[_("All of them"), "", "", *_amounts(before, after, currency)]] if known else []
    up, down = (sum(1 for was, now in known if (now - was) * sign > 0) for sign in (1, -1))
    return Foreseen([_row(one) for one in found], foot, _print(document), up, down, len(known) - up - down)


def was_seen(document: dict[str, Any]) -> bool:
    """Whether *enter* was pressed under what these very rates change."""
    return request.form.get("press") == "enter" and request.form.get("seen") == _print(document)


def _print(document: dict[str, Any]) -> str:
    return fingerprint(document)


def _row(one: Again) -> list[Any]:
    title = {"text": one.title, "url": url_for("office.lot", lot_id=one.lot_id, sheet="quote")}
    where = _("%(lot)s, %(builder)s", lot=one.lot, builder=one.company)
    when = _("%(day)s, edition %(n)s", day=reads().day(one.sent_on), n=one.edition)
    if one.after is None:
        return [title, where, when, reads().money(one.before, one.currency), _("cannot be compared"), ""]
    return [title, where, when, *_amounts(one.before, one.after, one.currency)]


def _amounts(before: Decimal, after: Decimal, currency: str) -> list[str]:
    def money(amount: Any) -> str:
        return reads().money(amount, currency)

    return [money(before), money(after), signed(money, after - before)]
