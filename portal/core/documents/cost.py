"""What a job costs the office, as reckoned when its quote was approved. The office's own: in no paper."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct

from portal.core.money.amount import rounded

#: Without these figures nothing is known of what is left over; without the miles it is less than it seems.
FIGURES = ("product", "crew_hour", "mile", "job")
MILES = "miles"


def share_left(revenue: Decimal, cost: Decimal) -> Decimal | None:
    """What is left of a price, in percent of it, to one place; None of no price."""
    return rounded((revenue - cost) * 100 / revenue, 1) if revenue > 0 else None


def is_under(revenue: Decimal, cost: Decimal, floor: Decimal | None) -> bool:
    """Whether what is left is less than the floor asks for: by the exact figures, not the rounded ones."""
    return floor is not None and (revenue - cost) * 100 < floor * revenue


class CostPart(Struct, frozen=True):
    """One kind of cost. `amount` is None where the office has not entered what it is reckoned from."""

    what: str
    amount: Decimal | None


class LineCost(Struct, frozen=True):
    """A line of the offer without tax, its part of the discount off; `cost` is None where it has none of its
    own: a minimum charge, an extra line."""

    what: str
    label: str
    revenue: Decimal
    cost: Decimal | None


class CostDocument(Struct, frozen=True):
    """What was planned for one revision. `cost` is as far as it is known, and `lacks` says what is not.

    `minutes` are on site without cleaning up, as a treatment record has them; `travel_minutes` once for the
    job, `miles` one way. What follows `floor` is kept so that the job can be reckoned again from what was
    really used and taken.
    """

    currency: str
    revenue: Decimal
    cost: Decimal
    parts: tuple[CostPart, ...]
    lines: tuple[LineCost, ...]
    lacks: tuple[str, ...]
    floor: Decimal | None
    concentrate: Decimal
    minutes: Decimal
    cleanup_minutes: Decimal
    travel_minutes: Decimal
    sprayers: int
    miles: Decimal | None
    crew_hour: Decimal | None
    mile: Decimal | None
    job: Decimal | None
    product_edition: int
    firm_edition: int

    @property
    def known(self) -> bool:
        """Whether what a job costs was entered. Then there is a margin; at most so much without the miles."""
        return not any(figure in self.lacks for figure in FIGURES)

    @property
    def at_most(self) -> bool:
        """Whether something is not counted, so that less is left than it says."""
        return bool(self.lacks)

    @property
    def margin(self) -> Decimal:
        """What is left of the price, as far as the cost is known."""
        return self.revenue - self.cost

    @property
    def percent(self) -> Decimal | None:
        """The same in percent of the price."""
        return share_left(self.revenue, self.cost)

    @property
    def under(self) -> bool:
        """Whether even the cost that is known leaves less than the floor asks for."""
        return is_under(self.revenue, self.cost, self.floor)
