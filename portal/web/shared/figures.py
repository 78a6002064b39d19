"""The four figures that matter, each with every step of its arithmetic, as the macros show them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from flask_babel import gettext as _

from portal.acts import estimating
from portal.core.estimate import Step
from portal.formats import Formats
from portal.web.security import parts, who
from portal.web.shared.pages import told

#: What the office pays for its product is its own affair.
OFFICE_ONLY = frozenset({"cost of the containers"})


def big(answer: Mapping[str, Any], steps: Iterable[Step], viewer: str) -> list[dict[str, Any]]:
    """Lineal feet, gallons, hours and price of an engine's answer. `viewer` is builder or office."""
    shown = Formats("en_US", parts().zone, _)
    how = _by_group(step for step in steps if viewer == "office" or step.what.template not in OFFICE_ONLY)
    price = answer["price"]
    return [
        {"label": _("Lineal feet"), "value": shown.number(answer["feet"]["total"]), "unit": _("ft"),
         "detail": how.get("feet")},
        {"label": _("Concentrate to bring"), "value": shown.number(answer["product"]["concentrate"]),
         "unit": _("gal"), "detail": how.get("product")},
        {"label": _hours_label(answer), "value": shown.number(answer["crew_hours"]), "unit": _("h"),
         "detail": how.get("minutes")},
        {"label": _("Price"), "value": shown.money(price["total"], price["currency"]), "unit": "",
         "detail": how.get("price")},
    ]  # fmt: skip


def _hours_label(answer: Mapping[str, Any]) -> str:
    alone = abs(Decimal(answer["crew_hours"]) * 60 - Decimal(answer["minutes"]["elapsed"])) < 1
    return _("Hours on site") if alone else _("Crew hours on site")


def _by_group(steps: Iterable[Step]) -> dict[str, list[dict[str, str]]]:
    found: dict[str, list[dict[str, str]]] = {}
    for step in steps:
        what = told(step.what)
        line = {"rule": what[:1].upper() + what[1:], "line": f"{told(step.rule)} = {step.result}"}
        found.setdefault(step.group, []).append(line)
    return found


def steps_of(house: dict[str, Any], answer: dict[str, Any]) -> tuple[Step, ...]:
    """The steps behind a stored answer; none where the rate book has moved on since it was worked out."""
    worked = estimating.work_out(parts(), who(), house)
    return worked.steps if worked.answer == answer else ()
