"""A lot's whole history as the office reads it: who did what, when, with its details."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from flask_babel import lazy_gettext as _

from portal.acts.sheet import HistoryLine
from portal.web.shared import words
from portal.web.shared.lot_pages import HAPPENED
from portal.web.shared.pages import reads, told

#: What a line of history may carry beside its subject.
DETAILS = {
    "amount": _("amount"), "framing": _("framing done"), "insulation": _("insulation starts"),
    "kind": _("why"), "day": _("day"), "edition": _("takeoff edition"), "fingerprint": _("fingerprint"),
    "first_yes": _("first yes by"), "purchaser": _("purchaser"),
    "floor": _("floor in percent"), "margin": _("margin in percent"),
    "method": _("how it was paid"), "name": _("signed by"), "purchase_order": _("purchase order"),
    "reason": _("reason"), "reference": _("reference"), "technician": _("technician"), "total": _("total"),
}  # fmt: skip
AMOUNTS, DAYS = frozenset({"amount", "total"}), frozenset({"day", "framing", "insulation"})
#: Of a fingerprint so much tells two apart at a glance; the whole of it stands in the document's own record.
SHORT = 16


def past(lines: Iterable[HistoryLine]) -> list[dict[str, Any]]:
    """Lines for the page, newest first."""
    return [_line(line) for line in lines]


def _line(line: HistoryLine) -> dict[str, Any]:
    when, what, details = reads().moment(line.at), told(line.verb), _details(line)
    if line.verb in HAPPENED:
        what, details = what[:1].upper() + what[1:], [(_("by"), line.by), *details]
    who = "" if line.verb in HAPPENED else line.by
    return {"when": when, "who": who, "what": what, "subject": line.subject, "details": details}


def _details(line: HistoryLine) -> list[tuple[Any, str]]:
    return [
        (DETAILS[key], _said(key, value)) for key, value in line.details.items() if value and key in DETAILS
    ]


def _said(key: str, value: Any) -> str:
    shown = reads()
    if key in AMOUNTS:
        return shown.money(str(value))
    if key == "method":
        return str(words.METHODS[value])
    if key == "kind":
        return str((words.WHY | words.TIES)[str(value)])
    if key in DAYS:
        return shown.day(str(value))
    return f"{value}"[:SHORT] + "…" if key == "fingerprint" else str(value)
