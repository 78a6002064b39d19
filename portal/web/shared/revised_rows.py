"""Rows of what changed between two revisions: each change with what it comes to, and line by line."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from flask_babel import gettext as _
from flask_babel import lazy_gettext

from portal.acts.comparing import Compared
from portal.core.documents import Offer
from portal.core.money.amount import cents
from portal.core.pricing.change import Change
from portal.core.pricing.offer import LABELS
from portal.web.shared import words
from portal.web.shared.pages import reads, told
from portal.web.shared.rows import Rows, feet, upper_first

RATES = {
    "second_coat_per_foot": lazy_gettext("Second coat inside, a foot"),
    "unwrap_per_foot": lazy_gettext("House wrap pulled back and put up again, a foot"),
    "crawl_space": lazy_gettext("Crawl space"),
    "crawl_space_per_foot": lazy_gettext("Crawl space, a foot"),
    "call_out": lazy_gettext("Call-out"),
}


def prices(found: Compared) -> Rows:
    """What changed, before, now, and what it comes to."""
    currency = found.new.offer.currency
    return [[*_told(change, currency), reads().money(change.amount, currency)] for change in found.changes]


def totals(found: Compared) -> Rows:
    """The foot of the same table."""
    was, now, currency = found.old.offer.total, found.new.offer.total, found.new.offer.currency
    return [[_("Total"), *(reads().money(amount, currency) for amount in (was, now, now - was))]]


def _told(change: Change, currency: str) -> list[str]:
    before, after = change.before, change.after
    where = _("%(wall)s, %(story)s", wall=upper_first(change.name), story=change.story)
    if change.kind == "wall":
        return [str(where), _feet(before, _("not there yet")), _feet(after, _("gone"))]
    if change.kind == "interior":
        inside = _("Interior walls, %(story)s", story=change.story)
        return [inside, _feet(before, _("not there yet")), _feet(after, _("gone"))]
    if change.kind == "siding":
        return [_("Siding, %(wall)s", wall=where), *(str(words.SIDING[str(one)]) for one in (before, after))]
    if change.kind in ("discount percent", "tax percent"):
        shown = [_("%(percent)s %%", percent=reads().percent(Decimal(one or 0))) for one in (before, after)]
        return [_("Discount") if change.kind.startswith("discount") else _("Tax"), *shown]
    return [
        _named(change),
        _amount(before, currency, _("not there yet")),
        _amount(after, currency, _("gone")),
    ]


def _named(change: Change) -> str:
    """What an amount is of."""
    if change.kind == "band":
        return _band(change)
    if change.kind == "rate":
        return str(RATES[change.name])
    if change.kind == "extra":
        return str(_("Extra line: %(what)s", what=change.name))
    return str({
        "rest": _("Slices shared with other lots, beside its own feet"),
        "fill-up": _("Up to the minimum charge"), "minimum": _("Minimum charge"),
        "discount": _("Discount on what changed above"), "tax": _("Tax on what changed above"),
    }[change.kind])  # fmt: skip


def _band(change: Change) -> str:
    start, end = change.span or (0, None)
    first, last = (None if one is None else reads().number(str(cents(one))) for one in (start, end))
    if end is None:
        return str(_("A foot, beyond %(feet)s ft", feet=first) if start else _("A foot"))
    if start:
        return str(_("A foot, from %(feet)s to %(end)s ft", feet=first, end=last))
    return str(_("A foot, up to %(end)s ft", end=last))


def _feet(value: Any, none: str) -> str:
    return none if value is None else feet(value)


def _amount(value: Any, currency: str, none: str) -> str:
    """An amount; a rate finer than a cent with all its places."""
    if value is None:
        return none
    fine = value != cents(value)
    return f"{reads().number(value, 6)} {currency}" if fine else reads().money(value, currency)


def line_by_line(found: Compared) -> Rows:
    """The four figures and every line of both quotes beside each other."""
    old, new = found.old, found.new
    answers = old.estimate, new.estimate
    hours = [Decimal(answer["minutes"]["elapsed"]) / 60 for answer in answers]
    gallons = [Decimal(answer["product"]["concentrate"]) for answer in answers]
    lengths = [Decimal(answer["feet"]["total"]) for answer in answers]
    figures = [
        _beside(_("Lineal feet"), lengths, feet),
        _beside(_("Concentrate"), gallons, lambda one: _("%(gallons)s gal", gallons=reads().fixed(one))),
        _beside(_("Hours on site"), hours, lambda one: _("%(hours)s h", hours=reads().hours(one))),
    ]
    return figures + _money(found)


def _beside(what: str, both: list[Decimal], shown: Callable[[Decimal], str]) -> list[Any]:
    return [what, *(shown(one) for one in both), shown(both[1] - both[0])]


def _money(found: Compared) -> Rows:
    currency = found.new.offer.currency
    sides = [_lines(found.old.offer), _lines(found.new.offer)]
    caps = [found.old.clause_cap, found.new.clause_cap]
    named = list(dict.fromkeys([*sides[1], *sides[0]]))
    named.sort(key=lambda name: ORDER.index(name[0]))
    rows = [(what, [side.get((key, what), Decimal(0)) for side in sides]) for key, what in named]
    rows += [(_("The most the siding clause can add"), caps)]
    return [_beside(what, both, lambda one: reads().money(one, currency)) for what, both in rows if any(both)]


#: Lines of an offer in their order, then its sums.
ORDER = ("treatment", "second_coat", "unwrap", "crawl_space", "call_out", "minimum", "extra", "subtotal",
         "discount", "tax", "total")  # fmt: skip


def _lines(offer: Offer) -> dict[tuple[str, str], Decimal]:
    found: dict[tuple[str, str], Decimal] = {}
    for line in offer.lines:
        name = (line.what, line.label if line.what == "extra" else told(LABELS[line.what]))
        found[name] = found.get(name, Decimal(0)) + line.amount
    sums = {"subtotal": offer.subtotal, "discount": -offer.discount, "tax": offer.tax, "total": offer.total}
    called = {"subtotal": _("Subtotal"), "discount": _("Discount"), "tax": _("Tax"), "total": _("Total")}
    return found | {(key, called[key]): amount for key, amount in sums.items()}
