"""The fields of each kind of edition: how they are named, shown, prefilled and read back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

from flask_babel import lazy_gettext as _

from portal.core.pricing.rates import MOST_BANDS, read_rates
from portal.core.treatment.crew import read_crew
from portal.core.treatment.product import MOST_CONTAINERS, read_product


@dataclass(frozen=True, slots=True)
class Entry:
    """One field. `at`: its path, as the engine's readers name it; `how`: text, number, lines or choice."""

    at: str
    label: Any
    how: str = "number"
    unit: Any = ""
    help: Any = ""
    choices: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class Rows:
    """Fields that repeat: at[0].key, at[1].key, up to `most`."""

    at: str
    legend: Any
    help: Any
    columns: tuple[Entry, ...]
    most: int


KINDS = {
    "rates": _("Rates"), "product": _("Product"), "crew": _("Crew figures"), "terms": _("Warranty terms"),
    "firm": _("The firm"),
}  # fmt: skip

DOLLARS, A_FOOT, PERCENT, MINUTES = "$", _("$ a foot"), "%", _("minutes")
FEET_AN_HOUR = _("feet an hour")
CLASSES = (("unclassified", _("unclassified")), ("restricted use", _("restricted use")))
RELEASES = (("paid", _("full payment of the invoice")), ("hand", _("the office, by hand")))

FIELDS: dict[str, tuple[Entry, ...]] = {
    "rates": (
        Entry("rates.currency", _("Currency"), "text", help=_("Three capital letters, such as USD.")),
        Entry("rates.minimum", _("Minimum charge"), unit=DOLLARS),
        Entry("rates.second_coat_per_foot", _("Second coat where siding is on"), unit=A_FOOT),
        Entry("rates.unwrap_per_foot", _("House wrap pulled back and put up again"), unit=A_FOOT),
        Entry("rates.call_out", _("Call-out"), unit=DOLLARS),
        Entry("rates.discount_percent", _("Discount"), unit=PERCENT),
        Entry("rates.tax_percent", _("Tax"), unit=PERCENT),
    ),
    "product": (
        Entry("product.name", _("Product"), "text", help=_("As on the container's label.")),
        Entry("registration", _("EPA registration number"), "text", help=_("As on the container's label.")),
        Entry("classification", _("Classification"), "choice", choices=CLASSES),
        Entry("active_ingredient", _("Active ingredient"), "text"),
        Entry("product.feet_per_gallon", _("A gallon of concentrate treats"), unit=_("lineal feet")),
        Entry("product.water_per_concentrate", _("Water to one part of concentrate"), unit=_("parts")),
        Entry("product.dye_floz_per_finished_gallon", _("Marking dye in a finished gallon"), unit=_("fl oz")),
        Entry("product.second_coat_share", _("A second coat takes, of a first one"), unit=_("parts of 1")),
        Entry("product.dry_minutes", _("Drying time before a second coat"), unit=MINUTES),
        Entry("product.first_water_share", _("Water before the concentrate"), unit=_("parts of 1")),
        Entry("product.batch_gallons", _("Concentrate in a batch"), unit=_("gal")),
        Entry("product.height_feet", _("Height treated"), unit=_("ft")),
    ),
    "crew": (
        Entry("crew.sprayers", _("Sprayers at work")),
        Entry("crew.setup_minutes", _("Setting up"), unit=MINUTES),
        Entry("crew.cleanup_minutes", _("Cleaning up"), unit=MINUTES),
        Entry("crew.mix_minutes_per_batch", _("Mixing a batch"), unit=MINUTES),
        Entry("crew.prepare_feet_per_hour", _("Preparing"), unit=FEET_AN_HOUR),
        Entry("crew.spray_feet_per_hour", _("Spraying inside"), unit=FEET_AN_HOUR),
        Entry("crew.outside_feet_per_hour", _("Spraying outside"), unit=FEET_AN_HOUR),
        Entry("crew.unwrap_feet_per_hour", _("Pulling back house wrap"), unit=FEET_AN_HOUR),
        Entry("crew.second_coat_feet_per_hour", _("Second coat"), unit=FEET_AN_HOUR),
    ),
    "terms": (
        Entry("title", _("Title"), "text"),
        Entry("years", _("Term"), unit=_("years"), help=_("Leave it empty for the life of the structure.")),
        Entry("covers", _("What it covers"), "lines", help=_("One thing a line.")),
        Entry("voids", _("What would void it"), "lines", help=_("One thing a line.")),
        Entry("ask", _("Whom to ask, and how"), "text"),
        Entry("notice", _("Notice on the certificate"), "text"),
        Entry("release", _("Brought into force by"), "choice", choices=RELEASES),
    ),
    "firm": (
        Entry("name", _("Name"), "text"),
        Entry("address", _("Address"), "lines", help=_("As it stands on papers, line by line.")),
        Entry("phone", _("Phone"), "text"),
        Entry("email", _("Mail address"), "text"),
        Entry("license", _("License"), "text"),
        Entry("quote_days", _("A quote holds for"), unit=_("days")),
        Entry("net_days", _("An invoice is due after"), unit=_("days")),
        Entry("pay_to", _("Pay to"), "text", help=_("It stands on every invoice.")),
    ),
}

ROWS: dict[str, Rows] = {
    "rates": Rows(
        "rates.bands", _("Bands of the price"),
        _("Slices of the lineal feet, each at its own rate. The last one has no end: leave its feet empty."),
        (Entry("up_to_feet", _("Up to"), unit=_("ft")), Entry("per_foot", _("Rate"), unit=A_FOOT)),
        MOST_BANDS,
    ),
    "product": Rows(
        "product.containers", _("Containers it is bought in"), _("Empty rows are left out."),
        (Entry("gallons", _("Holds"), unit=_("gal")), Entry("cost", _("Costs"), unit=DOLLARS)),
        MOST_CONTAINERS,
    ),
}  # fmt: skip

#: Empty rows offered below those that are filled.
SPARE_ROWS = 2


def filled(kind: str, document: Mapping[str, Any]) -> dict[str, str]:
    """The text of every field of an edition, by path; what it leaves out has the engine's default."""
    if kind in ("terms", "firm"):
        return {key: _text(value) for key, value in document.items()}
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
