"""The cover of a package, frozen when its quotes are sent: what is out of it, held together."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from portal.acts.lot_state import speaking_revision
from portal.acts.offering import quote_document, title_of
from portal.acts.parts import Actor, Parts
from portal.acts.pooling import around, feet_of
from portal.core.documents import (
    Concentrate,
    Containers,
    CoverLot,
    PackageDocument,
    QuoteDocument,
    fingerprint,
    to_stored,
)
from portal.core.money.amount import rounded
from portal.core.treatment.batches import concentrate_for
from portal.core.treatment.pooled import Bought, Pooled, pooled
from portal.core.treatment.product import read_product
from portal.store import packages
from portal.store.transaction import Work


def make_cover(parts: Parts, work: Work, who: Actor, row: Any, lots: list[Any]) -> PackageDocument:
    """Freeze the package's next cover, of the quotes that are sent or accepted now."""
    out = [(lot, revision) for lot in lots if (revision := speaking_revision(work, lot.id)) is not None]
    quotes = [
        (revision, quote_document(revision))
        for _, revision in out
        if revision.state in ("sent", "accepted") and revision.document
    ]
    first = quotes[0][1]
    ran_over = [said.package.feet for _, said in quotes if said.package and said.package.together]
    cover = PackageDocument(
        number=row.number, issue=1 + len(packages.covers(work, row.id)), name=row.name,
        builder=first.builder, office=first.office, currency=first.offer.currency,
        lots=tuple(_lot(revision, said) for revision, said in quotes),
        feet=sum((_feet(said) for _, said in quotes), Decimal(0)),
        total=sum((said.offer.total for _, said in quotes), Decimal(0)),
        slices_feet=max(ran_over, default=None),
        concentrate=_concentrate(parts, work, [said for _, said in quotes]), sent_on=parts.today(),
    )  # fmt: skip
    stored = to_stored(cover)
    packages.add_cover(work, row.id, stored, fingerprint(stored), who.name)
    return cover


def _feet(quote: QuoteDocument) -> Decimal:
    return Decimal(quote.estimate["feet"]["total"])


def _lot(revision: Any, quote: QuoteDocument) -> CoverLot:
    return CoverLot(
        place=quote.place, quote=title_of(revision), fingerprint=revision.fingerprint, feet=_feet(quote),
        concentrate=Decimal(quote.estimate["product"]["concentrate"]), total=quote.offer.total,
        expires_on=quote.expires_on, state=revision.state,
    )  # fmt: skip


def _concentrate(parts: Parts, work: Work, quotes: list[QuoteDocument]) -> Concentrate | None:
    product = read_product(around(parts, work, None).editions.product.document["figures"])
    found = pooled([concentrate_for(feet_of(quote.house), product) for quote in quotes], product)
    return as_document(found) if found else None


def as_document(found: Pooled) -> Concentrate:
    """Both ways of buying, without what they cost: that is the office's own."""
    return Concentrate(
        gallons=rounded(found.concentrate, 2), apart=_containers(found.apart),
        apart_left=rounded(found.apart.left, 2), together=_containers(found.together),
        together_left=rounded(found.together.left, 2), part_used=found.part_used_apart,
    )  # fmt: skip


def _containers(bought: Bought) -> tuple[Containers, ...]:
    kinds: Iterable[Any] = bought.containers
    return tuple(Containers(rounded(container.gallons, 2), count) for container, count in kinds)
