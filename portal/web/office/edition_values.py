"""What is typed of an edition, by the paths of its fields: prefilled, read back, made into its document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

from flask_babel import gettext

from portal.acts.editions import REMIND_DAYS
from portal.core.cover.kept import USUAL_YEARS
from portal.core.cover.trouble import ANSWER_DAYS
from portal.core.crewdays.hours import USUAL_TRAVEL
from portal.core.documents.notice import DEFAULT
from portal.core.money.terms_entered import USUAL_LIMIT, USUAL_PREFIX
from portal.core.pricing.margin import KEYS as COSTS
from portal.core.pricing.rates import read_rates
from portal.core.treatment.crew import read_crew
from portal.core.treatment.product import read_product
from portal.web.office.edition_fields import FIELDS, HOLDS_FROM, ROWS, Entry, Rows

#: What an edition of the firm leaves out that was made before it was asked for.
LEFT_OUT = {
    "remind_days": str(REMIND_DAYS), "answer_days": str(ANSWER_DAYS), "days_off": "",
    "travel_minutes": str(USUAL_TRAVEL),
    "keep_years": str(USUAL_YEARS), "notice_size": DEFAULT,
    "due_from": "issue", "bill_per": "lot", "retained_limit": str(USUAL_LIMIT),
    "invoice_prefix": USUAL_PREFIX, "tax_number": "", **dict.fromkeys(COSTS, ""),
}  # fmt: skip
LEFT_OUT_OF_TERMS = {"renewal_inspection": "no"}
#: Empty rows offered below those that are filled.
SPARE_ROWS = 2


def filled(kind: str, document: Mapping[str, Any]) -> dict[str, str]:
    """The text of every field of an edition, by path; what it leaves out has the engine's default."""
    if kind in ("terms", "firm"):
        left_out = (LEFT_OUT if kind == "firm" else LEFT_OUT_OF_TERMS) if document else {}
        return left_out | {key: _text(value) for key, value in document.items()}
    if kind == "product":
        rest = {key: _text(value) for key, value in document.items() if key != "figures"}
        return _read(read_product(document["figures"]), "product") | rest
    return _read(read_rates(document) if kind == "rates" else read_crew(document), kind)


def _read(record: Any, at: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, tuple):
            for i, row in enumerate(value):
                found |= _read(row, f"{at}.{field.name}[{i}]")
        elif value is None or isinstance(value, str | int | Fraction):
            found[f"{at}.{field.name}"] = _text(value)
    return found


def _text(value: Any) -> str:
    if isinstance(value, Fraction):
        exact = f"{(Decimal(value.numerator) / Decimal(value.denominator)).normalize():f}"
        # 0.6 is read as an amount more easily with both its places.
        return f"{exact}0" if exact[-2:-1] == "." else exact
    if isinstance(value, list | tuple):
        return "\n".join(str(line) for line in value)
    return "" if value is None else str(value)


def label_of(kind: str, at: str) -> str:
    """What the field of a path is called; that of a row with the row's number."""
    named = {entry.at: str(entry.label) for entry in FIELDS[kind]} | {"first_day": str(HOLDS_FROM)}
    rows = ROWS.get(kind)
    if rows is None or not at.startswith(rows.at):
        return named.get(at, at)
    number, _dot, key = at.removeprefix(f"{rows.at}[").partition("].")
    labels = [str(column.label) for column in rows.columns if column.at == key]
    return gettext("%(label)s, row %(n)s", label=labels[0], n=int(number) + 1) if labels else str(rows.legend)


def typed(kind: str, form: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by path, with empty rows closed up, so that paths count as the engine counts."""
    found = {entry.at: form.get(entry.at, "").strip() for entry in FIELDS[kind]}
    rows = ROWS.get(kind)
    if rows is None:
        return found
    kept = [row for row in (_row(rows, form, i) for i in range(rows.most + SPARE_ROWS)) if any(row.values())]
    return found | {f"{rows.at}[{i}].{key}": text for i, row in enumerate(kept) for key, text in row.items()}


def _row(rows: Rows, form: Mapping[str, str], i: int) -> dict[str, str]:
    return {column.at: form.get(f"{rows.at}[{i}].{column.at}", "").strip() for column in rows.columns}


def row_count(kind: str, values: Mapping[str, str]) -> int:
    """How many rows to show: those filled, and a few to fill."""
    rows = ROWS.get(kind)
    if rows is None:
        return 0
    count = sum(1 for i in range(rows.most + SPARE_ROWS) if f"{rows.at}[{i}].{rows.columns[0].at}" in values)
    return max(count, min(count + SPARE_ROWS, rows.most))


def document(kind: str, values: Mapping[str, str]) -> dict[str, Any]:
    """The edition's document from what was typed."""
    if kind in ("terms", "firm"):
        return {entry.at: _value(entry, values[entry.at]) for entry in FIELDS[kind]}
    figures: dict[str, Any] = {}
    beside = {}
    for entry in FIELDS[kind]:
        if entry.at.startswith(f"{kind}."):
            figures[entry.at.removeprefix(f"{kind}.")] = values[entry.at]
        else:
            beside[entry.at] = values[entry.at]
    if kind in ROWS:
        figures[ROWS[kind].at.partition(".")[2]] = _rows(ROWS[kind], values)
    return {"figures": figures} | beside if kind == "product" else figures


def _value(entry: Entry, text: str) -> Any:
    if entry.how == "lines":
        return [line.strip() for line in text.splitlines() if line.strip()]
    if entry.how == "number":
        return (int(text) if text.isdecimal() and len(text) < 7 else text) if text else _nothing(entry)
    return text


def _nothing(entry: Entry) -> Any:
    # A term without years is the life of the structure; any other figure that is not there is missing.
    return None if entry.at == "years" else ""


def _rows(rows: Rows, values: Mapping[str, str]) -> list[dict[str, str]]:
    found = [
        row for row in (_row(rows, values, i) for i in range(rows.most + SPARE_ROWS)) if any(row.values())
    ]
    if found and found[-1].get("up_to_feet") == "":
        # Feet left empty are the mark of the last band; any other empty cell is read, and refused, as such.
        del found[-1]["up_to_feet"]
    return found
