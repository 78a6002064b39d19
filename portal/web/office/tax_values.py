"""What is typed of a tax table, by the paths that its reader names: prefilled, read back, made a document."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from flask_babel import gettext
from flask_babel import lazy_gettext as _
from werkzeug.datastructures import MultiDict

from portal.core.documents import TaxTable
from portal.core.money.tax_entered import KINDS, MOST_RATES
from portal.core.numbers import plainly

KINDS_SAID = {
    "treatment": _("The treatment of the walls"), "second_coat": _("A second coat"),
    "unwrap": _("House wrap pulled back and put up again"),
    "crawl_space": _("What is charged for a crawl space"), "call_out": _("The call-out"),
    "minimum": _("What fills up to the minimum charge"), "extra": _("Extra lines of the office’s own"),
    "renewal": _("The next term of a warranty"), "transfer": _("Handing a warranty on"),
}  # fmt: skip
ROUNDINGS = (
    ("invoice", _("once, of what is taxed altogether")),
    ("line", _("line by line, and then added up")),
)
PARTS = (
    ("together", _("the parts together, and shared out to them")),
    ("apart", _("each part by itself")),
)
#: Empty rows offered below those that are filled.
SPARE_ROWS = 2


def blank(today: str) -> dict[str, Any]:
    """The form before anything is typed: everything is taxed, rounded once."""
    return {"first_day": today, "taxed": list(KINDS), "rounding": "invoice", "parts": "together", "rates": []}


def filled(table: TaxTable, today: str) -> dict[str, Any]:
    """The form filled in with an edition."""
    return {
        "jurisdiction": table.jurisdiction, "first_day": today,
        "taxed": [kind for kind in KINDS if kind not in table.untaxed], "rounding": table.rounding,
        "parts": "apart" if table.apart else "together",
        "rates": [{"name": rate.name, "percent": plainly(Fraction(rate.percent))} for rate in table.rates],
    }  # fmt: skip


def typed(form: MultiDict[str, str]) -> dict[str, Any]:
    """What was typed; empty rows are closed up, so that paths count as the reader counts."""
    cells = ("name", "percent")
    rows = [
        {cell: form.get(f"rates[{i}].{cell}", "").strip() for cell in cells}
        for i in range(MOST_RATES + SPARE_ROWS)
    ]
    single = ("jurisdiction", "first_day", "rounding", "parts")
    found: dict[str, Any] = {key: form.get(key, "").strip() for key in single}
    return found | {"taxed": form.getlist("taxed"), "rates": [row for row in rows if any(row.values())]}


def document(values: dict[str, Any]) -> dict[str, Any]:
    """The edition's document."""
    return {
        "rates": values["rates"], "untaxed": [kind for kind in KINDS if kind not in values["taxed"]],
        "rounding": values["rounding"], "parts": values["parts"],
    }  # fmt: skip


def row_count(values: dict[str, Any]) -> int:
    """How many rows to show: those filled, and a few to fill."""
    return max(3, min(len(values["rates"]) + SPARE_ROWS, MOST_RATES))


def label_of(at: str) -> str:
    """What the field of a path is called."""
    if at.startswith("rates["):
        number, _dot, cell = at.removeprefix("rates[").partition("].")
        words = gettext("Part") if cell == "name" else gettext("Percent")
        return str(gettext("%(label)s, row %(n)s", label=words, n=int(number) + 1))
    named: dict[str, Any] = {
        "jurisdiction": _("Jurisdiction"), "first_day": _("Holds from"), "rates": _("Parts of the rate"),
        "untaxed": _("What is taxed"), "rounding": _("Rounded"), "parts": _("Parts are rounded"),
    }  # fmt: skip
    return str(named.get(at, at))
