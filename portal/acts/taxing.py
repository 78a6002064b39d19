"""How a lot is taxed: by the table of its place, and not where its builder's exemption covers the day.

The place: the subdivision, where a table is set for it; else the town; else the default. Where none is set,
or none of its editions holds yet, the rate book's percent stands, on everything.

A quote keeps the edition by which it was reckoned, and its invoice is taxed by that same edition: prices
hold. An exemption is another matter: it counts by the day of the paper. So one that ended since is gone on
the invoice, and one that came since takes the tax off, and the invoice says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from portal.core.documents import Exemption, Offer, Taxing, TaxTable
from portal.core.money.tax_entered import read_table
from portal.core.money.tax_table import plain_table
from portal.core.pricing.offer import Taxed, taxed_as
from portal.store import taxes
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Where:
    """A lot's place, as far as tax asks for it: the builder's subdivision by its name, state and town."""

    subdivision: str = ""
    state: str = ""
    town: str = ""


def where_is(lot: Any) -> Where:
    """Where a stored lot is."""
    return Where(lot.subdivision.name if lot.subdivision else "", lot.state, lot.town)


@dataclass(frozen=True, slots=True)
class TaxBook:
    """The tables that hold for one builder's lots on one day, by place, and the exemptions that cover it."""

    day: date
    tables: Mapping[str, TaxTable]
    exemptions: tuple[Exemption, ...]

    def table(self, where: Where) -> TaxTable | None:
        """The table of a place."""
        keys = [taxes.town_key(where.state, where.town), taxes.DEFAULT]
        if where.subdivision.strip():
            keys.insert(0, taxes.named_key(where.subdivision))
        return next((self.tables[key] for key in keys if key in self.tables), None)

    def exempt(self, jurisdiction: str) -> Exemption | None:
        """The exemption that holds in a jurisdiction, the one that lasts longest of several."""
        return next((one for one in self.exemptions if one.covers(self.day, jurisdiction)), None)


def tax_book(work: Work, day: date, company_id: str) -> TaxBook:
    """What is in force for a builder's lots on a day."""
    tables = {
        taxes.named_key(subdivision) if subdivision else key: read_table(document, jurisdiction, number)
        for key, subdivision, jurisdiction, number, document in taxes.holding(work, company_id, day)
    }
    return TaxBook(day, tables, tuple(as_document(one) for one in taxes.covering(work, company_id, day)))


def as_document(row: Any) -> Exemption:
    """A stored exemption, as papers print it."""
    where = row.jurisdiction.name if row.jurisdiction else ""
    return Exemption(row.number, where, row.first_day, row.last_day)


def taxed_on(work: Work, quoted: Offer, company_id: str, day: date) -> Taxed:
    """How a quoted offer is taxed on a paper of this day: by its own edition, but for an exempt builder."""
    now = taxed_as(quoted)
    table = now.taxing.table if now.taxing else plain_table(now.percent)
    covering = [as_document(one) for one in taxes.covering(work, company_id, day)]
    exempt = next((one for one in covering if one.covers(day, table.jurisdiction)), None)
    if exempt is None and not table.edition:
        return Taxed(table.percent)
    return Taxed(table.percent, Taxing(table, exempt))
