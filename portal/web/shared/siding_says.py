"""What siding does to the price, in words: beside each face and wall of the form, and in the chooser."""

from __future__ import annotations

from collections.abc import Iterable

from flask_babel import gettext as _

from portal.core.pricing.siding_prices import ALL, SidingPrice
from portal.core.takeoff.house import OPEN, SIDED, STATUSES, WRAPPED
from portal.core.takeoff.stretches import FACE_MARKS
from portal.web.shared import words
from portal.web.shared.pages import reads


def marks(rows: int, by: str) -> list[str]:
    """All places of a story's form where such a sentence stands."""
    walls = [f"w{number}" for number in range(1, rows + 1)] if by == "walk" else []
    return [ALL, *FACE_MARKS.values(), *STATUSES, *walls]


def beside(price: SidingPrice | None, currency: str) -> str:
    """The sentence beside a wall, a face or all of them: its feet, and what another siding would do."""
    if price is None:
        return ""
    others = (SIDED, WRAPPED) if price.mark == ALL else (SIDED,)
    told = [_change(price, status, currency) for status in others if status != price.status]
    if price.status == SIDED:
        told = [_change(price, OPEN, currency)]
    feet = reads().number(str(price.feet) if price.feet.denominator == 1 else f"{float(price.feet):.2f}")
    return str(_("%(feet)s ft: %(changes)s.", feet=feet, changes="; ".join(told)))


def _change(price: SidingPrice, status: str, currency: str) -> str:
    return f"{words.SIDING[status]} {does(price, status, currency)}"


def does(price: SidingPrice, status: str, currency: str) -> str:
    """Adds $34.20, takes off $34.20, or changes nothing, and why."""
    change = price.changes[status]
    amount = reads().money(abs(change), currency)
    if change > 0:
        return str(_("adds %(amount)s", amount=amount))
    if change < 0:
        return str(_("takes off %(amount)s", amount=amount))
    return str(_("adds nothing over the minimum charge") if price.covered else _("adds nothing"))


def in_chooser(price: SidingPrice | None, currency: str) -> dict[str, str]:
    """What each siding of one stretch would do, for the chooser."""
    if price is None:
        return dict.fromkeys(STATUSES, "")
    return {status: _("as it is") if status == price.status else does(price, status, currency)
            for status in STATUSES}  # fmt: skip


def of_level(prices: Iterable[SidingPrice], level: int) -> list[SidingPrice]:
    """Those of one level."""
    return [price for price in prices if price.level == level]
