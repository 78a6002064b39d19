"""What a newer revision of a quote changes in its price: one change at a time, to the cent.

The older quote is taken to the newer one in a fixed order, and after each change all its feet are priced
anew, as any quote is: what the price then differs by is what that change explains. So the differences add up
by themselves, and no cent is left over or told twice. The order: the walls in theirs, interior walls, siding,
rates, the minimum charge, extra lines; and, as on the quote, discount and tax on all of that.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from portal.core.documents import Line, Offer
from portal.core.money.amount import cents
from portal.core.pricing.change import NOTHING, Change, Version
from portal.core.pricing.offer import taxed_as, with_lines
from portal.core.pricing.stepped import by_the_foot, engine_lines, feet_of

#: The kinds of change in the order in which they are made, and what a sum of few words counts them to.
GROUPS = {
    "wall": "feet", "interior": "feet", "siding": "siding", "band": "rates", "rate": "rates", "rest": "rest",
    "fill-up": "minimum", "minimum": "minimum", "extra": "extras", "discount": "discount",
    "discount percent": "discount", "tax": "tax", "tax percent": "tax",
}  # fmt: skip


def explained(old: Version, new: Version) -> tuple[Change, ...]:
    """The changes from the old revision's total to the new one's; their amounts add up to the difference.

    None at all where the currency changed: amounts of two currencies do not add up.
    """
    was, now = old.document.offer, new.document.offer
    if was.currency != now.currency:
        return ()
    return (*by_the_foot(old, new), *_to_the_minimum(old, new), *_extras(was, now), *_percents(was, now))


def grouped(changes: Iterable[Change]) -> dict[str, Decimal]:
    """What they come to by group, in their order; groups that come to nothing are left out."""
    sums: dict[str, Decimal] = {}
    for change in changes:
        group = GROUPS[change.kind]
        sums[group] = sums.get(group, NOTHING) + change.amount
    return {group: amount for group, amount in sums.items() if amount}


def _to_the_minimum(old: Version, new: Version) -> Iterator[Change]:
    """First what would be missing to the old minimum charge, then the new one."""
    before, after = (
        sum((line.amount for line in version.document.offer.lines if line.what == "minimum"), NOTHING)
        for version in (old, new)
    )
    was, now = (cents(version.rates.minimum_for(feet_of(version).total)) for version in (old, new))
    between = max(NOTHING, was - engine_lines(new))
    if before != between:
        yield Change("fill-up", before=before, after=between, amount=between - before)
    if was != now or between != after:
        yield Change("minimum", before=was, after=now, amount=after - between)


def _extras(was: Offer, now: Offer) -> Iterator[Change]:
    """Lines of the office's own: changed and dropped ones in the old order, then those that are new."""
    left = _extra_lines(now)
    for line in _extra_lines(was):
        same = [one for one in left if one.label == line.label]
        match = next((one for one in same if one.amount == line.amount), same[0] if same else None)
        if match is not None:
            left.remove(match)
        after = match.amount if match else None
        if after != line.amount:
            amount = (after or NOTHING) - line.amount
            yield Change("extra", line.label, before=line.amount, after=after, amount=amount)
    for line in left:
        yield Change("extra", line.label, after=line.amount, amount=line.amount)


def _extra_lines(offer: Offer) -> list[Line]:
    return [line for line in offer.lines if line.what == "extra"]


def _percents(was: Offer, now: Offer) -> Iterator[Change]:
    """Discount and tax: first the old percentage of the new sums, then the new percentage."""
    off = cents(now.subtotal * was.discount_percent / 100)
    due = with_lines(now, now.lines, taxed_as(was)).tax
    percents = was.discount_percent, now.discount_percent
    yield from _percent("discount", (-was.discount, -off, -now.discount), percents)
    yield from _percent("tax", (was.tax, due, now.tax), (was.tax_percent, now.tax_percent))


def _percent(
    kind: str, amounts: tuple[Decimal, Decimal, Decimal], percents: tuple[Decimal, Decimal]
) -> Iterator[Change]:
    before, between, after = amounts
    if between != before:
        yield Change(kind, before=before, after=between, amount=between - before)
    if percents[0] != percents[1] or between != after:
        yield Change(f"{kind} percent", before=percents[0], after=percents[1], amount=after - between)
