"""What a credit note takes back of an invoice: by line, with the discount and the tax that were on it.

What all notes of a lot have taken back so far is priced as one offer, by the rules of the invoice; a note is
the difference that it makes. So however an invoice is credited, line by line and cent by cent, the notes add
up to what it asked for once every line is taken back, and never to more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from msgspec import structs

from portal.core.documents import CreditLine, InvoiceDocument, Line, Offer, TaxPart
from portal.core.errors import BadInput, Problem
from portal.core.money.invoice import ZERO
from portal.core.pricing.offer import with_lines
from portal.core.pricing.summed import summed
from portal.core.words import dollars, say

#: A line of an invoice: the number of its lot there, and its own number in that lot's offer.
At = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Left:
    """A line, and how much of it was not taken back yet."""

    at: At
    line: Line
    lot: str
    left: Decimal

    @property
    def name(self) -> str:
        """What its field is called."""
        return f"line.{self.at[0]}.{self.at[1]}"


def left_of(invoice: InvoiceDocument, taken: Mapping[At, Decimal]) -> tuple[Left, ...]:
    """The lines of an invoice with what is left of each."""
    several = len(invoice.parts) > 1
    return tuple(
        Left((p, n), line, part.place.lot if several else "", line.amount - taken.get((p, n), ZERO))
        for p, part in enumerate(invoice.parts) for n, line in enumerate(part.owed.lines)
    )  # fmt: skip


def the_rest(invoice: InvoiceDocument, taken: Mapping[At, Decimal]) -> dict[At, Decimal]:
    """Everything that is left, lines under zero with it."""
    return {one.at: one.left for one in left_of(invoice, taken) if one.left}


def check_lines(invoice: InvoiceDocument, taken: Mapping[At, Decimal], more: Mapping[At, Decimal]) -> None:
    """Refuse to take back nothing, or more of a line or a lot than there is. Raises `BadInput`."""
    problems = []
    if set(more) - {one.at for one in left_of(invoice, {})}:
        problems.append(Problem("lines", say("There is no such line.")))
    for one in left_of(invoice, taken):
        asked = more.get(one.at, ZERO)
        if asked > max(one.left, ZERO):
            says = say("{left} is left of this line.", left=dollars(max(one.left, ZERO)))
            problems.append(Problem(one.name, says))
    if not problems and not any(more.values()):
        problems.append(Problem("lines", say("Enter what to take back of at least one line.")))
    if not problems and any(
        _priced(part.owed, p, _with(taken, more)).total > part.owed.total
        for p, part in enumerate(invoice.parts)
    ):  # fmt: skip
        says = say("That is more than the invoice came to, because other lines took something off. Credit it "
                   "whole instead.")  # fmt: skip
        problems.append(Problem("lines", says))
    if not problems and summed(taken_back(invoice, taken, more)).total <= 0:
        problems.append(Problem("lines", say("With discount and tax this comes to nothing.")))
    if problems:
        raise BadInput(problems)


def taken_back(
    invoice: InvoiceDocument, taken: Mapping[At, Decimal], more: Mapping[At, Decimal]
) -> list[Offer]:
    """What a note takes back of each lot's part, as an offer over zero: lines, discount, tax, total."""
    found = []
    for p, part in enumerate(invoice.parts):
        before, after = _priced(part.owed, p, taken), _priced(part.owed, p, _with(taken, more))
        lines = _lines(part.owed, p, more)
        if lines:
            found.append(_less(part.owed, after, before, lines))
    return found


def credit_lines(invoice: InvoiceDocument, more: Mapping[At, Decimal]) -> tuple[CreditLine, ...]:
    """The lines of a note, as it prints them."""
    return tuple(
        CreditLine(one.line.label, more[one.at], one.lot, f"{one.at[0]}.{one.at[1]}")
        for one in left_of(invoice, {}) if more.get(one.at)
    )  # fmt: skip


def _with(taken: Mapping[At, Decimal], more: Mapping[At, Decimal]) -> dict[At, Decimal]:
    return {at: taken.get(at, ZERO) + more.get(at, ZERO) for at in {*taken, *more}}


def _lines(offer: Offer, p: int, amounts: Mapping[At, Decimal]) -> list[Line]:
    return [
        structs.replace(line, amount=amounts[(p, n)], feet=None, rate=None, pieces=None)
        for n, line in enumerate(offer.lines) if amounts.get((p, n))
    ]  # fmt: skip


def _priced(offer: Offer, p: int, amounts: Mapping[At, Decimal]) -> Offer:
    """These amounts of a lot's lines, discounted and taxed as the invoice is; all of them are all of it."""
    if all(amounts.get((p, n), ZERO) == line.amount for n, line in enumerate(offer.lines)):
        return offer
    return with_lines(offer, _lines(offer, p, amounts))


def _less(offer: Offer, after: Offer, before: Offer, lines: Sequence[Line]) -> Offer:
    return Offer(
        currency=offer.currency, lines=tuple(lines), subtotal=after.subtotal - before.subtotal,
        discount_percent=offer.discount_percent, discount=after.discount - before.discount,
        tax_percent=offer.tax_percent, tax=after.tax - before.tax, total=after.total - before.total,
        taxes=_parts(offer, after, before), taxing=offer.taxing,
    )  # fmt: skip


def _parts(offer: Offer, after: Offer, before: Offer) -> tuple[TaxPart, ...]:
    """The parts of the tax that a note takes back; of an offer without parts, none."""

    def of(one: Offer) -> dict[tuple[str, str, Decimal], TaxPart]:
        return {(part.jurisdiction, part.name, part.percent): part for part in one.taxes}

    was, now = of(before), of(after)
    return tuple(
        replace(
            part,
            taxable=(now[key].taxable if key in now else ZERO) - (was[key].taxable if key in was else ZERO),
            amount=(now[key].amount if key in now else ZERO) - (was[key].amount if key in was else ZERO),
        )
        for key, part in of(offer).items()
    )
