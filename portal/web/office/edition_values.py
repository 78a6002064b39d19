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
from portal.core.privacy.kept import FORGET_DAYS
from portal.core.treatment.crew import read_crew
from portal.core.treatment.product import read_product
from portal.web.office.edition_fields import FIELDS, HOLDS_FROM, Entry, Rows, rows_of

#: What an edition of the firm leaves out that was made before it was asked for.
LEFT_OUT = {
    "remind_days": str(REMIND_DAYS), "answer_days": str(ANSWER_DAYS), "forget_days": str(FORGET_DAYS),
    "days_off": "",
    "travel_minutes": str(USUAL_TRAVEL),
    "keep_years": str(USUAL_YEARS), "notice_size": DEFAULT,
    "due_from": "issue", "bill_per": "lot", "retained_limit": str(USUAL_LIMIT),
    "invoice_prefix": USUAL_PREFIX, "tax_number": "", **dict.fromkeys(COSTS, ""),
}  # fmt: skip
LEFT_OUT_OF_TERMS = {"renewal_inspection": "no"}
#: Ends of rows of which the last one has none.
OPEN_ENDED = ("up_to_feet", "up_to_miles")
#: Empty rows offered below those that are filled.
SPARE_ROWS = 2
#: Rows offered at least: three distances, or bands, are entered in one go.
LEAST_ROWS = 3


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
    rows = next((one for one in rows_of(kind) if at.startswith(one.at)), None)
    if rows is None or at in named:
        return named.get(at, at)
    number, _dot, key = at.removeprefix(f"{rows.at}[").partition("].")
    labels = [str(column.label) for column in rows.columns if column.at == key]
    return gettext("%(label)s, row %(n)s", label=labels[0], n=int(number) + 1) if labels else str(rows.legend)


def typed(kind: str, form: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by path, with empty rows closed up, so that paths count as the engine counts."""
    found = {entry.at: form.get(entry.at, "").strip() for entry in FIELDS[kind]}
    for rows in rows_of(kind):
        for i, row in enumerate(filled_rows(rows, form)):
            found |= {f"{rows.at}[{i}].{key}": text for key, text in row.items()}
    return found


def filled_rows(rows: Rows, form: Mapping[str, str]) -> list[dict[str, str]]:
    """The rows in which something was typed. A choice is always made, so it says nothing."""
    typed_in = [column.at for column in rows.columns if column.how != "choice"]
    found = (_row(rows, form, i) for i in range(rows.most + SPARE_ROWS))
    return [row for row in found if any(row[key] for key in typed_in)]


def _row(rows: Rows, form: Mapping[str, str], i: int) -> dict[str, str]:
    return {column.at: form.get(f"{rows.at}[{i}].{column.at}", "").strip() for column in rows.columns}


def row_counts(kind: str, values: Mapping[str, str]) -> dict[str, int]:
    """By path, how many rows to show: those filled, and a few to fill."""
    return {rows.at: row_count(rows, values) for rows in rows_of(kind)}


def row_count(rows: Rows, values: Mapping[str, str]) -> int:
    """How many of these rows to show."""
    count = sum(1 for i in range(rows.most + SPARE_ROWS) if f"{rows.at}[{i}].{rows.columns[0].at}" in values)
    return max(count, min(max(count + SPARE_ROWS, LEAST_ROWS), rows.most))


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
    for rows in rows_of(kind):
        figures[rows.at.partition(".")[2]] = _rows(rows, values)
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
    found = filled_rows(rows, values)
    if found and found[-1].get(rows.columns[0].at) == "" and rows.columns[0].at in OPEN_ENDED:
        # Left empty it is the mark of the last band; any other empty cell is read, and refused, as such.
        del found[-1][rows.columns[0].at]
    return found
