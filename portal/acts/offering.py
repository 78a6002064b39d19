"""What a quote's revision offers: its draft by today's editions, and its frozen document once sent."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from portal.acts.billing_terms import terms_for
from portal.acts.editions import InForce, days_off, decimal, travel_minutes
from portal.acts.estimating import Figures, figures
from portal.acts.lot_state import builder_of, number_under, place_of
from portal.acts.parts import Actor, Parts
from portal.acts.pooling import Around, around, together
from portal.acts.siting import Sites
from portal.acts.trail import note
from portal.core.answer import without_cost
from portal.core.documents import (
    ClauseWall,
    CostDocument,
    Line,
    Offer,
    QuoteDocument,
    fingerprint,
    from_stored,
    to_stored,
)
from portal.core.errors import refuse
from portal.core.journey import QUOTE
from portal.core.money.amount import cents
from portal.core.pricing.clause import most_it_can_come_to
from portal.core.pricing.covered import covered
from portal.core.pricing.margin import Way, plan, read_costs
from portal.core.pricing.offer import offer_from
from portal.core.pricing.rates import Rates
from portal.core.pricing.same_day import same_day_off
from portal.store import people, quotes
from portal.store.tables import Extra
from portal.store.transaction import Work


def title_of(revision: Any) -> str:
    """Number and revision, as people say it."""
    return f"{revision.quote.number} rev. {revision.number}"


def draft(parts: Parts, work: Work, lot: Any, revision: Any, beside: Around | None = None) -> QuoteDocument:
    """The quote as it would be sent now: by today's editions, from the revision's own takeoff.

    `beside` is what the prices of a package's lots depend on, where it is at hand for all of them.
    """
    return costed(parts, work, lot, revision, beside)[0]


def costed(
    parts: Parts, work: Work, lot: Any, revision: Any, beside: Around | None = None
) -> tuple[QuoteDocument, CostDocument]:
    """The same, and what it costs the office and leaves it, which is no part of what a builder is sent."""
    beside = beside or around(parts, work, lot.package_id)
    editions, pool = beside.editions, beside.pool
    sited = (beside.sites or Sites(work, lot.company_id, parts.today())).of(lot)
    result = figures(revision.takeoff.house, editions, sited.site)
    packed = together(pool, lot.id, result.result) if pool else None
    rates, walls, feet = result.rates, result.walls(), result.result.feet.total
    second, unwrap = decimal(rates.second_coat_per_foot), decimal(rates.unwrap_per_foot)
    days = int(editions.firm.document["quote_days"])
    small = feet < rates.small_lot_feet
    document = QuoteDocument(
        number=revision.quote.number, revision=revision.number, place=place_of(lot),
        builder=builder_of(lot, people.person(work, lot.created_by).name), office=editions.office(),
        house=revision.takeoff.house, estimate=without_cost(result.answer), walls=walls,
        offer=offer_of(packed.price if packed else result.answer["price"], rates, revision.extras),
        clause_per_foot=second, clause_unwrap_per_foot=unwrap,
        clause_walls=tuple(
            ClauseWall(w.key, w.story, w.label, w.feet, cents(Fraction(w.exact) * Fraction(second)))
            for w in walls if w.status != "sided"
        ),
        clause_cap=most_it_can_come_to(result.stretches, second),
        product=editions.product_edition(), terms=editions.warranty_terms(),
        rate_edition=editions.rates.number, crew_edition=editions.crew.number,
        siding_starts=lot.siding_starts, insulation_starts=lot.insulation_starts,
        sent_on=parts.today(), expires_on=parts.today() + timedelta(days=days),
        remarks=revision.remarks, minimum=cents(rates.minimum_for(feet)),
        days_off=days_off(editions.firm.document), package=packed.says if packed else None,
        agreement=sited.agreement.on_quote() if sited.agreement else None,
        miles=decimal(sited.site.miles) if sited.site.miles is not None else None,
        small_lot_feet=decimal(rates.small_lot_feet) if small else None,
        same_day_off=same_day_off(rates) if lot.subdivision is not None else cents(0),
        billing=terms_for(work, editions.firm.document, lot.company_id),
    )  # fmt: skip
    if lot.kind == "retreatment":
        document = covered(document, number_under(work, lot))
    return document, _cost(result, document, editions)


def _cost(result: Figures, document: QuoteDocument, editions: InForce) -> CostDocument:
    firm = editions.firm
    way = Way(travel_minutes(firm.document), document.miles, firm.number, editions.product.number)
    return plan(result.result, document.offer, read_costs(firm.document), way)


def offer_of(price: dict[str, Any], rates: Rates, extras: Iterable[Any]) -> Offer:
    """The engine's price with the office's extra lines behind it."""
    lines = [_extra_line(extra) for extra in extras]
    return offer_from(price, lines, decimal(rates.discount_percent), decimal(rates.tax_percent), rates.taxing)


def _extra_line(extra: Any) -> Line:
    quantity = Decimal(extra.quantity) if extra.quantity else None
    return Line(
        "extra", extra.label, extra.amount, reason=extra.reason,
        feet=quantity if extra.unit == "foot" else None, rate=Decimal(extra.rate) if extra.rate else None,
        pieces=quantity if extra.unit == "piece" else None,
    )  # fmt: skip


def mark_of(document: QuoteDocument) -> str:
    """What was approved, as one text to compare: all of a draft but the days, which follow the sending."""
    without_days = replace(document, sent_on=document.sent_on.min, expires_on=document.sent_on.min)
    return fingerprint(to_stored(without_days))


def open_revision(work: Work, lot: Any, *states: str) -> Any:
    """The newest revision, where it is in one of these states. Raises `Refused`."""
    quote = quotes.quote_of(work, lot.id)
    if quote is None:
        raise refuse("No quote was started for this lot yet.")
    revision = quotes.revisions(work, quote.id)[0]
    if revision.state not in states:
        raise refuse("The quote is {state}, so this cannot be done.", state=revision.state)
    return revision


def next_revision(work: Work, old: Any, takeoff_id: str) -> Any:
    """The next revision of a quote: the remarks and the extra lines of the one before are carried over."""
    revision = quotes.add_revision(work, old.quote, takeoff_id)
    revision.remarks = old.remarks
    for extra in old.extras:
        revision.extras.append(Extra(
            id=work.new_id(), position=extra.position, label=extra.label, reason=extra.reason,
            amount=extra.amount, added_by=extra.added_by, quantity=extra.quantity, unit=extra.unit,
            rate=extra.rate,
        ))  # fmt: skip
    return revision


def back_to_check(revision: Any) -> None:
    """What was approved is no longer what it says."""
    revision.state, revision.total, revision.approved_by, revision.approved_mark = "to check", None, "", ""


def supersede_others(work: Work, who: Actor, lot: Any, kept: Any) -> None:
    """One revision of a quote can be out at a time."""
    for other in quotes.revisions(work, kept.quote_id):
        if other.id != kept.id and "superseded" in QUOTE[other.state]:
            other.state = "superseded"
            note(work, who, "superseded", title_of(other), lot.id)


def quote_document(revision: Any) -> QuoteDocument:
    """The frozen document of a revision that was sent."""
    return from_stored(QuoteDocument, revision.document)
