"""What a payment pays: the oldest invoice first, or as somebody chose; what the terms let off; the rest.

Nothing here gives an invoice more than it asks for, and no more is given than came.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from portal.core.errors import BadInput, Problem
from portal.core.money.invoice import read_amount
from portal.core.words import dollars, say

ZERO = Decimal("0.00")

METHODS = ("check", "bank transfer", "cash", "other")
#: What a payment pays: the oldest first, these invoices, or none, so that all of it is kept as credit.
HOWS = ("oldest", "chosen", "none")


@dataclass(frozen=True, slots=True)
class Owing:
    """An invoice that still asks for something. `off` is what its terms let off if it is paid that day."""

    id: str
    number: str
    asks: Decimal
    off: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Part:
    """So much of a payment for an invoice, and what its terms let off with it."""

    invoice: str
    amount: Decimal
    off: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Plan:
    """What a payment pays, and what is left of it for the builder's credit."""

    parts: tuple[Part, ...]
    rest: Decimal


def oldest_first(amount: Decimal, owing: Sequence[Owing]) -> Plan:
    """Pay invoices in the order they stand in, each as far as it goes.

    What the terms let off is taken where that leaves nothing over. Where something would be left over, the
    builder paid in full, and only what then still lacks may be let off.
    """
    discounted = _in_order(amount, owing, take_off=True)
    return discounted if discounted.rest == 0 else _in_order(amount, owing, take_off=False)


def _in_order(amount: Decimal, owing: Sequence[Owing], *, take_off: bool) -> Plan:
    left, parts = amount, []
    for one in owing:
        if left <= 0:
            break
        part = part_of(one, min(left, one.asks - one.off if take_off else one.asks))
        parts += [part] if part.amount > 0 else []
        left -= part.amount
    return Plan(tuple(parts), left)


def part_of(one: Owing, amount: Decimal) -> Part:
    """So much for an invoice; what then lacks is let off, where the terms let so much off."""
    lacks = one.asks - amount
    return Part(one.id, amount, lacks if 0 < lacks <= one.off else ZERO)


def as_chosen(amount: Decimal, owing: Sequence[Owing], typed: Mapping[str, Decimal]) -> Plan:
    """Pay each chosen invoice what was said. Raises `BadInput`: too much for one, or for what came."""
    problems: list[Problem] = []
    chosen = [(one, typed[one.id]) for one in owing if typed.get(one.id)]
    for one, part in chosen:
        if part > one.asks:
            says = say("{open} is open on {number}; {amount} would be too much.",
                       open=dollars(one.asks), number=one.number, amount=dollars(part))  # fmt: skip
            problems.append(Problem(f"part-{one.id}", says))
    given = sum((part for _, part in chosen), ZERO)
    if not chosen:
        problems.append(Problem("how", say("Give at least one invoice its part, or choose another way.")))
    if given > amount:
        says = say(
            "The parts come to {given}, and {amount} came.", given=dollars(given), amount=dollars(amount)
        )
        problems.append(Problem("amount", says))
    if problems:
        raise BadInput(problems)
    return Plan(tuple(part_of(one, part) for one, part in chosen), amount - given)


def read_parts(typed: Mapping[str, str]) -> dict[str, Decimal]:
    """What was typed beside each invoice; nothing typed is no part. Raises `BadInput`."""
    found: dict[str, Decimal] = {}
    problems: list[Problem] = []
    for invoice, text in typed.items():
        if not text.strip():
            continue
        try:
            found[invoice] = read_amount(text, f"part-{invoice}")
        except BadInput as bad:
            problems += bad.problems
    if problems:
        raise BadInput(problems)
    return found


def check_rest(rest: Decimal, keep: str) -> None:
    """Refuse to keep a rest as credit that the person did not say to keep, to the cent."""
    if rest <= 0:
        return
    try:
        said = read_amount(keep) if keep else ZERO
    except BadInput:
        said = ZERO
    if said != rest:
        raise BadInput([Problem("keep", say(
            "{rest} more came than is open. Tick this to keep it as the builder’s credit, or correct the "
            "amount.", rest=dollars(rest)))])  # fmt: skip


@dataclass(frozen=True, slots=True)
class Source:
    """What a builder has to its credit came from here: a payment or a credit note, and so much is left."""

    kind: str
    id: str
    left: Decimal


def drawn(amount: Decimal, sources: Iterable[Source]) -> tuple[tuple[Source, Decimal], ...]:
    """Take so much out of these, the oldest first. The caller has seen that there is enough."""
    left, found = amount, []
    for source in sources:
        part = min(left, source.left)
        if part > 0:
            found.append((source, part))
            left -= part
    assert left == 0, left
    return tuple(found)
