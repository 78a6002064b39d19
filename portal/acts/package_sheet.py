"""A package, whole, as this person may see it: its lots with their prices, sums, the concentrate of all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from portal.acts.cover import as_document
from portal.acts.lot_state import place_of, stage_for
from portal.acts.offering import offer_of, quote_document, title_of
from portal.acts.package_state import package_for, seen_of
from portal.acts.packing import UNSENT
from portal.acts.parts import Actor, Parts, has, must_be
from portal.acts.pooling import Around, around, feet_of, priced
from portal.core.answer import price_answer
from portal.core.documents import Concentrate, Place
from portal.core.money.amount import cents, rounded
from portal.core.naming import in_order
from portal.core.pricing.lines import price
from portal.core.pricing.package import lot_by_lot
from portal.core.pricing.rates import read_rates
from portal.core.pricing.site import rates_at
from portal.core.takeoff.feet import Feet
from portal.core.treatment.batches import concentrate_for
from portal.core.treatment.pooled import Pooled, pooled
from portal.core.treatment.product import read_product
from portal.store import consents, packages, people
from portal.store.transaction import Work

#: The stages in which a lot's concentrate is still to be bought.
TO_TREAT = (*UNSENT, "sent", "accepted", "booked")
#: The stages in which a lot's price is no part of the package's sum: nothing came of it.
OVER = ("declined", "lapsed")


@dataclass(frozen=True, slots=True)
class PackedLot:
    """One lot of a package. `total` is the quote's once it is sent, before that by the estimate as it stands.

    `apart` is what the total would be by the lot's own slices alone.
    """

    id: str
    version: int
    place: Place
    stage: str
    feet: Decimal
    estimated: bool
    total: Decimal
    apart: Decimal
    quote: str
    revision: int | None
    fingerprint: str
    expires_on: date | None
    #: Who gave the first yes of two, where a second person's is waited for; and whether it was this person.
    first_yes: str = ""
    own_yes: bool = False

    @property
    def answerable(self) -> bool:
        """Whether its quote is out and this person has not said yes to it yet."""
        return self.stage == "sent" and not self.own_yes

    @property
    def counts(self) -> bool:
        """Whether its price is part of the package's sum."""
        return self.stage not in OVER


@dataclass(frozen=True, slots=True)
class CoverView:
    """A cover of the package: one more each time its quotes were sent."""

    number: int
    sent_at: datetime


@dataclass(frozen=True, slots=True)
class PackageSheet:
    """A package. `together` is whether slices run over the sum of its feet; costs are the office's alone."""

    id: str
    number: str
    name: str
    company: str
    by: str
    made_at: datetime
    lots: tuple[PackedLot, ...]
    currency: str
    together: bool
    concentrate: Concentrate | None
    cost_apart: Decimal | None
    cost_together: Decimal | None
    covers: tuple[CoverView, ...]
    seen: str
    may_answer: bool

    @property
    def feet(self) -> Decimal:
        """The sum of the feet of the lots that count."""
        return sum((lot.feet for lot in self.lots if lot.counts), Decimal("0.00"))

    @property
    def total(self) -> Decimal:
        """The sum of the prices of the lots that count."""
        return sum((lot.total for lot in self.lots if lot.counts), Decimal("0.00"))

    @property
    def saved(self) -> Decimal:
        """What the slices over the sum take off all of these prices."""
        return sum((lot.apart for lot in self.lots if lot.counts), Decimal("0.00")) - self.total

    @property
    def takes_more(self) -> bool:
        """Whether lots may still come in: as long as nothing of it is sent."""
        return all(lot.stage in UNSENT for lot in self.lots)


def package_sheet(parts: Parts, who: Actor, package_id: str) -> PackageSheet:
    """The package. Raises `NotFound` where it is not this person's."""
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        row = package_for(work, who, package_id)
        lots = in_order(packages.lots_in(work, row.id), lambda lot: lot.name)
        beside = around(parts, work, row.id)
        feet = {one.id: feet_of(one.house) for one in packages.houses_in(work, row.id)}
        said = packages.speaking_in(work, row.id)
        yeses = consents.first_consents(work, [revision.id for revision in said.values()])
        shown = tuple(_lot(parts, who, lot, said.get(lot.id), feet[lot.id], beside, yeses) for lot in lots)
        bought = _concentrate(beside, [feet[lot.id] for lot in shown if lot.stage in TO_TREAT])
        office = bought if who.kind == "office" else None
        return PackageSheet(
            id=row.id, number=row.number, name=row.name, company=_company(work, row),
            by=people.person(work, row.created_by).name, made_at=row.created_at, lots=shown,
            currency=beside.editions.rates.document.get("currency", "USD"),
            together=beside.pool is not None and bool(beside.pool.shares),
            concentrate=as_document(bought) if bought else None,
            cost_apart=cents(office.apart.cost) if office else None,
            cost_together=cents(office.together.cost) if office else None,
            covers=_covers(work, row.id), seen=seen_of(row, lots),
            may_answer=has(who, "accept"),
        )  # fmt: skip


def _company(work: Work, row: Any) -> str:
    return people.company(work, row.company_id).name


def _covers(work: Work, package_id: str) -> tuple[CoverView, ...]:
    return tuple(CoverView(row.number, row.sent_at) for row in packages.covers(work, package_id))


def _concentrate(beside: Around, feet: list[Feet]) -> Pooled | None:
    product = read_product(beside.editions.product.document["figures"])
    return pooled([concentrate_for(one, product) for one in feet], product)


def _lot(
    parts: Parts, who: Actor, lot: Any, revision: Any, feet: Feet, beside: Around, yeses: dict[str, Any]
) -> PackedLot:
    total, apart = _prices(who, lot, revision, feet, beside)
    sent = revision is not None and revision.document is not None
    stage = stage_for(who, lot, parts.today())
    yes = yeses.get(revision.id) if sent and stage == "sent" else None
    return PackedLot(
        id=lot.id, version=lot.version, place=place_of(lot),
        stage=stage, feet=rounded(feet.total, 2),
        estimated=feet.estimated, total=total, apart=apart,
        quote=title_of(revision) if revision and (sent or who.kind == "office") else "",
        revision=revision.number if sent else None, fingerprint=revision.fingerprint if sent else "",
        expires_on=revision.expires_on if sent else None, first_yes=yes.name if yes else "",
        own_yes=yes is not None and yes.person_id == who.person_id and who.person_id is not None,
    )  # fmt: skip


def _prices(who: Actor, lot: Any, revision: Any, feet: Feet, beside: Around) -> tuple[Decimal, Decimal]:
    """A lot's total, and what it would be by its own slices alone."""
    if revision is not None and revision.document is not None:
        quote = quote_document(revision)
        return quote.offer.total, lot_by_lot(quote).total
    assert beside.pool is not None and beside.sites is not None
    rates = rates_at(read_rates(beside.editions.rates.document), beside.sites.of(lot).site)
    # What the office adds by hand is offered when it is sent, and not before.
    extras = revision.extras if revision is not None and who.kind == "office" else ()
    by_share = priced(beside.pool, lot.id, feet, rates)
    by_itself = price(feet.total, feet.second_coat, feet.wrapped, rates)
    both = [offer_of(price_answer(one), rates, extras).total for one in (by_share, by_itself)]
    return both[0], both[1]
