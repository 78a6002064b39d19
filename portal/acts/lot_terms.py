"""What the office enters on a quote that its price depends on: how far the lot is, extras of the list."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from portal.acts.editions import decimal, in_force
from portal.acts.lot_state import lot_to_change, restage
from portal.acts.offering import back_to_check, open_revision
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import note
from portal.core.errors import BadInput, Problem
from portal.core.fields import Problems, number
from portal.core.money.amount import cents
from portal.core.pricing.rates import ListedExtra, read_rates
from portal.core.words import say
from portal.store.tables import Extra

MOST_MILES = 1000
MOST_PIECES = 10_000
MOST_FEET = 100_000


def set_miles(parts: Parts, who: Actor, lot_id: str, version: int, typed: str) -> None:
    """Enter how far a lot is; remembered for its whole subdivision where it is in one. Empty: not known."""
    must_be(who, "office")
    miles = _read_miles(typed)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = open_revision(work, lot, "to check", "approved")
        place = lot.subdivision if lot.subdivision is not None else lot
        place.miles = miles
        back_to_check(revision)
        note(work, who, "miles", miles, lot.id)
        restage(work, lot)


def _read_miles(typed: str) -> str:
    text = typed.strip()
    if not text:
        return ""
    problems: Problems = []
    exact = number(text, "miles", problems, least=0, most=MOST_MILES)
    check(problems)
    assert exact is not None
    if (exact * 10).denominator != 1:
        raise BadInput([Problem("miles", say("Miles have one decimal at most, such as 24.5."))])
    return f"{decimal(exact).normalize():f}"


def listed_extras(parts: Parts, who: Actor) -> tuple[ListedExtra, ...]:
    """The extras on the list of the rate book that holds today."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return read_rates(in_force(work, parts.today()).rates.document).extras


def add_listed(
    parts: Parts, who: Actor, lot_id: str, version: int, name: str, quantity: str, reason: str = ""
) -> None:
    """Add an extra of the list: so many pieces or feet of it, at the list's price of today.

    The amount is the exact product, rounded once. It stays as it was added, whatever the list says later.
    """
    must_be(who, "office")
    check(text_problems("reason", reason, 500))
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = open_revision(work, lot, "to check", "approved")
        listed = read_rates(in_force(work, parts.today()).rates.document).extras
        chosen = next((one for one in listed if one.name == name), None)
        if chosen is None:
            raise BadInput([Problem("listed", say("Choose one of the list."))])
        count = _read_quantity(quantity, chosen)
        amount = cents(count * chosen.price)
        position = 1 + max((e.position for e in revision.extras), default=0)
        extra = Extra(id=work.new_id(), position=position, label=chosen.name, reason=reason, amount=amount)
        extra.added_by, extra.unit = who.name, chosen.by
        extra.quantity, extra.rate = _plain(count), _plain(chosen.price)
        revision.extras.append(extra)
        back_to_check(revision)
        note(work, who, "extra added", chosen.name, lot.id, amount=str(amount), reason=reason)
        restage(work, lot)


def _read_quantity(typed: str, chosen: ListedExtra) -> Fraction:
    problems: Problems = []
    most = MOST_PIECES if chosen.by == "piece" else MOST_FEET
    count = number(typed.strip(), "quantity", problems, over=0, most=most)
    check(problems)
    assert count is not None
    if chosen.by == "piece" and count.denominator != 1:
        raise BadInput([Problem("quantity", say("It is counted by the piece: a whole number."))])
    if (count * 100).denominator != 1:
        raise BadInput([Problem("quantity", say("Feet have two decimals at most, such as 12.25."))])
    return count


def _plain(value: Fraction) -> str:
    exact: Decimal = decimal(value)
    return f"{exact:f}"
