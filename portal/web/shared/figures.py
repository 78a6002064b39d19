"""The four figures that matter, each with every step of its arithmetic, as the macros show them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any

from flask_babel import gettext as _

from portal.acts import estimating
from portal.acts.estimating import Figures
from portal.acts.sheet import LotSheet
from portal.core.answer import without_cost
from portal.core.documents import QuoteDocument
from portal.core.errors import BadInput
from portal.core.estimate import Step
from portal.core.words import Said
from portal.web.security import parts, who
from portal.web.shared.pages import reads, told

#: What the office pays for its product is its own affair.
OFFICE_ONLY = frozenset({"cost of the containers"})


def big(
    answer: Mapping[str, Any], steps: Iterable[Step], viewer: str, notes: Iterable[Said] | None = None
) -> list[dict[str, Any]]:
    """Lineal feet, gallons, hours and price of an engine's answer. `viewer` is builder or office.

    The feet carry what was assumed for them: the engine's notes in the reader's language, or, without
    them, as they were kept.
    """
    assumed = answer["notes"] if notes is None else [told(note) for note in notes]
    shown = reads()
    how = _by_group(step for step in steps if viewer == "office" or step.what.template not in OFFICE_ONLY)
    price = answer["price"]
    return [
        {"label": _("Lineal feet"), "value": shown.number(answer["feet"]["total"]), "unit": _("ft"),
         "detail": how.get("feet"), "assumed": assumed},
        {"label": _("Concentrate to bring"), "value": shown.number(answer["product"]["concentrate"]),
         "unit": _("gal"), "detail": how.get("product")},
        {"label": _hours_label(answer), "value": shown.hours(answer["crew_hours"]), "unit": _("h"),
         "detail": how.get("minutes")},
        {"label": _("Price"), "value": shown.money(price["total"], price["currency"]), "unit": "",
         "detail": how.get("price")},
    ]  # fmt: skip


def fresh(found: Figures | None, viewer: str) -> list[dict[str, Any]] | None:
    """The same of what was just worked out; None where nothing was."""
    return big(found.answer, found.steps, viewer, found.notes) if found else None


def _hours_label(answer: Mapping[str, Any]) -> str:
    alone = abs(Decimal(answer["crew_hours"]) * 60 - Decimal(answer["minutes"]["elapsed"])) < 1
    return str(_("Hours on site") if alone else _("Crew hours on site"))


def _by_group(steps: Iterable[Step]) -> dict[str, list[dict[str, str]]]:
    found: dict[str, list[dict[str, str]]] = {}
    for step in steps:
        what = told(step.what)
        line = {"rule": what[:1].upper() + what[1:], "line": f"{told(step.rule)} = {step.result}"}
        found.setdefault(step.group, []).append(line)
    return found


def worked(lot: LotSheet, viewer: str) -> list[dict[str, Any]]:
    """The figures of a lot's takeoff, with their steps as long as today's editions give the same."""
    return _with_steps(lot.takeoff.estimate, of_today(lot), viewer)


def _with_steps(answer: dict[str, Any], found: Figures | None, viewer: str) -> list[dict[str, Any]]:
    return big(answer, found.steps, viewer, found.notes) if found else big(answer, (), viewer)


def of_today(lot: LotSheet) -> Figures | None:
    """What today's editions make of a lot's house, where it is the stored answer still."""
    house, answer = lot.takeoff.house, lot.takeoff.estimate
    return _same(answer, lambda: estimating.work_out(parts(), who(), house, lot_id=lot.id))


def _same(answer: dict[str, Any], work_out: Callable[[], Figures]) -> Figures | None:
    try:
        found = work_out()
    except BadInput:
        # An edition of today may refuse what an older one took; the figures stand without their steps.
        return None
    # What is frozen in a quote has no cost of the office's in it.
    return found if without_cost(found.answer) == without_cost(answer) else None


def offered(quote: QuoteDocument, viewer: str) -> list[dict[str, Any]]:
    """The figures of a quote; its price is that of the offer, whose lines stand below."""
    today = _same(quote.estimate, lambda: estimating.as_quoted(parts(), who(), quote))
    found = _with_steps(quote.estimate, today, viewer)
    price = reads().money(quote.offer.total, quote.offer.currency)
    return [*found[:3], found[3] | {"value": price, "detail": None}]
