"""What a lot's rates depend on beside the rate book: what it stands on, how far it is, what was agreed."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

from portal.acts.taxing import TaxBook, Where, tax_book, where_is
from portal.acts.texts import is_unprintable
from portal.core.pricing.agreement import Agreement, winning
from portal.core.pricing.site import CRAWL_SPACE, Site
from portal.store import agreements, lots
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Sited:
    """A lot's site, and the whole agreement that it comes under."""

    site: Site
    agreement: Agreement | None


@dataclass(slots=True)
class Sites:
    """Sites of one builder's lots on one day. What comes again is asked for once."""

    work: Work
    company_id: str
    day: date
    begun: list[Agreement] | None = None
    taxes: TaxBook | None = None
    named: dict[str, Any] = field(default_factory=dict)

    def of(self, lot: Any) -> Sited:
        """The site of a lot."""
        place = lot.subdivision if lot.subdivision is not None else lot
        return self._at(lot.foundation, place.miles, lot.subdivision_id, where_is(lot))

    def asked(self, foundation: str, subdivision: str, state: str = "", town: str = "") -> Site:
        """The site of a lot that is asked for, in a subdivision that may not be known yet."""
        # What no database can hold is nobody's subdivision or town; beside its field it is told on sending.
        subdivision, state, town = (
            "" if any(map(is_unprintable, one)) else one for one in (subdivision, state, town)
        )
        called = subdivision.strip().lower()
        if called and called not in self.named:
            self.named[called] = lots.known_subdivision(self.work, self.company_id, called)
        row = self.named.get(called)
        return self._at(foundation, row.miles if row else "", row.id if row else None,
                        Where(subdivision, state, town)).site  # fmt: skip

    def agreement(self, subdivision_id: str | None) -> Agreement | None:
        """The agreement that holds for lots of a subdivision, or in none."""
        if self.begun is None:
            self.begun = agreements.begun(self.work, self.company_id, self.day)
        return winning(self.begun, self.company_id, subdivision_id, self.day)

    def tax_book(self) -> TaxBook:
        """The taxes of the builder's lots."""
        if self.taxes is None:
            self.taxes = tax_book(self.work, self.day, self.company_id)
        return self.taxes

    def _at(self, foundation: str, miles: str, subdivision_id: str | None, where: Where) -> Sited:
        agreement = self.agreement(subdivision_id)
        far = Fraction(miles) if miles else None
        prices = agreement.prices if agreement else None
        table = self.tax_book().table(where)
        exempt = self.tax_book().exempt(table.jurisdiction if table else "")
        return Sited(Site(foundation == CRAWL_SPACE, far, prices, table, exempt), agreement)
