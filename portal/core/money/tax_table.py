"""How a price is taxed, as a quote or an invoice froze it: the table, the exemption, the parts it came to.

Plain dataclasses, because the engine prices by them too, and runs without any package.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from portal.core.words import say


@dataclass(frozen=True, slots=True)
class TaxRate:
    """One part of a jurisdiction's tax: its name (state, county, city …) and its percent."""

    name: str
    percent: Decimal


@dataclass(frozen=True, slots=True)
class TaxTable:
    """An edition of a jurisdiction's table. Edition 0, of no jurisdiction, is the rate book's own percent.

    `untaxed` are the kinds of line that it does not tax; all others are taxed. `rounding` is invoice or line:
    of what the product is rounded. `apart` is whether each part is rounded by itself, or their sum.
    """

    jurisdiction: str
    edition: int
    rates: tuple[TaxRate, ...]
    untaxed: tuple[str, ...] = ()
    rounding: str = "invoice"
    apart: bool = False

    @property
    def percent(self) -> Decimal:
        """All parts together."""
        return sum((rate.percent for rate in self.rates), Decimal(0))


@dataclass(frozen=True, slots=True)
class Exemption:
    """A builder's certificate. `jurisdiction` is where it holds; empty, it holds everywhere."""

    number: str
    jurisdiction: str
    first_day: date
    last_day: date

    def covers(self, day: date, jurisdiction: str) -> bool:
        """Whether nothing is taxed there on that day."""
        return self.first_day <= day <= self.last_day and self.jurisdiction in ("", jurisdiction)


@dataclass(frozen=True, slots=True)
class Taxing:
    """The table that holds for a lot, and the exemption that covers the day of the paper, where one does."""

    table: TaxTable
    exempt: Exemption | None = None


@dataclass(frozen=True, slots=True)
class TaxPart:
    """One part of the tax: whose it is, its name, on how much, what it comes to. `amount` is to the cent."""

    jurisdiction: str
    name: str
    percent: Decimal
    taxable: Decimal
    amount: Decimal


def plain_table(percent: Decimal) -> TaxTable:
    """The rate book's own percent as a table: what an exemption is from, where there is no other."""
    return TaxTable("", 0, (TaxRate(str(say("Tax")), percent),))
