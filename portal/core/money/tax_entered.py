"""What the office enters for a tax table, read and judged: parts of the rate, what is taxed, rounding."""

from __future__ import annotations

from decimal import Decimal

from portal.core.errors import BadInput, Problem
from portal.core.fields import Problems, choice, entries, items, number
from portal.core.money.tax import ROUNDINGS
from portal.core.money.tax_table import TaxRate, TaxTable
from portal.core.words import say

MOST_RATES = 8
LONGEST_NAME = 60
MOST_PERCENT = 100
#: Of what may be said that it is not taxed. A line by the siding clause is of the kind that it changes.
KINDS = (
    "treatment",
    "second_coat",
    "unwrap",
    "crawl_space",
    "call_out",
    "minimum",
    "extra",
    "renewal",
    "transfer",
)
APART = ("together", "apart")


def read_table(document: object, jurisdiction: str, edition: int) -> TaxTable:
    """The table in an edition's document. Raises `BadInput` with all the problems found."""
    problems: Problems = []
    fields = entries(document, "", problems, ("rates",), ("untaxed", "rounding", "parts"))
    listed = fields.get("rates", [])
    found = items(listed, "rates", problems, say("parts of the rate"), most=MOST_RATES)
    rates = tuple(_rate(one, f"rates[{i}]", problems) for i, one in enumerate(found))
    problems += _of_all(rates)
    untaxed = fields.get("untaxed", [])
    if not isinstance(untaxed, list) or any(kind not in KINDS for kind in untaxed):
        problems.append(Problem("untaxed", say("Choose what is taxed from the list.")))
        untaxed = []
    rounding = choice(fields.get("rounding", ROUNDINGS[0]), "rounding", problems, ROUNDINGS)
    parts = choice(fields.get("parts", APART[0]), "parts", problems, APART)
    if problems:
        raise BadInput(problems)
    return TaxTable(jurisdiction, edition, rates, tuple(untaxed), str(rounding), parts == "apart")


def _of_all(rates: tuple[TaxRate, ...]) -> Problems:
    """What is wrong with the parts together."""
    problems: Problems = []
    names = [rate.name.casefold() for rate in rates if rate.name]
    # Twice the same name could not be told apart in the books.
    if len(set(names)) < len(names):
        problems.append(Problem("rates", say("Each part needs a name of its own.")))
    if sum((rate.percent for rate in rates), Decimal(0)) > MOST_PERCENT:
        problems.append(Problem("rates", say("All parts together come to 100 % at most.")))
    return problems


def _rate(value: object, at: str, problems: Problems) -> TaxRate:
    fields = entries(value, at, problems, ("name", "percent"))
    called = fields.get("name", "")
    text = called.strip() if isinstance(called, str) else ""
    if not text or len(text) > LONGEST_NAME or not text.isprintable():
        says = say("Name the part: state, county, city. At most {most} characters.", most=LONGEST_NAME)
        problems.append(Problem(f"{at}.name", says))
        text = ""
    percent = None
    if "percent" in fields:
        percent = number(fields["percent"], f"{at}.percent", problems, least=0, most=MOST_PERCENT)
    exact = Decimal(percent.numerator) / Decimal(percent.denominator) if percent else Decimal(0)
    return TaxRate(text, exact)
