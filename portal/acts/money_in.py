"""Money in: what is owed and since when, what came, what is about to be billed; by the week and by builder.

Every figure but what is about to be billed is a balance of the books.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from portal.acts.parts import Actor, Parts, must_be
from portal.core.errors import NotFound
from portal.core.money.dues import Due
from portal.core.money.weeks import ZERO, Week, by_week, first_shown
from portal.core.pricing.rates import read_rates
from portal.store import chasing, coming, quotes
from portal.store.coming import BuilderRow
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class BuilderMoney:
    """A builder's line. `late` is what of `open` is past its day; `oldest` is the first day of that."""

    id: str
    name: str
    open: Decimal
    late: Decimal
    oldest: date | None
    held_back: Decimal
    credit: Decimal
    to_bill: Decimal


@dataclass(frozen=True, slots=True)
class MoneyIn:
    """The page's figures: of all builders, or of the one that was asked for.

    `waiting` is treated and waits for the rest of its package; `lots` is how many are about to be billed.
    """

    today: date
    currency: str
    weeks: tuple[Week, ...]
    builders: tuple[BuilderMoney, ...]
    #: All builders by name, to choose one of.
    names: tuple[tuple[str, str], ...]
    waiting: Decimal
    lots: int

    @property
    def open(self) -> Decimal:
        """What is asked for now."""
        return sum((one.open for one in self.builders), ZERO)

    @property
    def late(self) -> Decimal:
        """What of it is past its day."""
        return sum((week.late for week in self.weeks), ZERO)

    @property
    def due(self) -> Decimal:
        """What of it is not."""
        return sum((week.due for week in self.weeks), ZERO)

    @property
    def came(self) -> Decimal:
        """What came in the weeks that are shown."""
        return sum((week.came for week in self.weeks), ZERO)

    @property
    def held_back(self) -> Decimal:
        """What is held back until it is released."""
        return sum((one.held_back for one in self.builders), ZERO)

    @property
    def credit(self) -> Decimal:
        """What builders have to their credit."""
        return sum((one.credit for one in self.builders), ZERO)

    @property
    def to_bill(self) -> Decimal:
        """What is about to be billed, as quoted."""
        return sum((week.to_bill for week in self.weeks), self.waiting)


def look(parts: Parts, who: Actor, company_id: str = "") -> MoneyIn:
    """The page, of one builder where one is asked for. Raises `NotFound` for one there is not."""
    must_be(who, "office")
    today, only = parts.today(), company_id or None
    with parts.store.reading() as work:
        known = coming.builders(work)
        if only is not None and only not in {one.id for one in known}:
            raise NotFound("company", only)
        owed = chasing.owed_rows(work, company_id=only)
        came = coming.came_by_day(work, first_shown(today), only)
        waits = coming.to_bill(work, only)
        currency = _currency(work, today)
        shown = [one for one in known if only in (None, one.id)]
        return MoneyIn(
            today=today, currency=currency,
            weeks=by_week(
                today, came, ((due.day, due.amount) for row in owed for due in row.dues),
                ((row.day, row.quoted) for row in waits if row.day is not None),
            ),
            builders=_lines(shown, owed, waits, today),
            names=tuple((one.id, one.name) for one in known),
            waiting=sum((row.quoted for row in waits if row.day is None), ZERO), lots=len(waits),
        )  # fmt: skip


def _currency(work: Work, today: date) -> str:
    return read_rates(quotes.edition_on(work, "rates", today).document).currency


def _lines(
    known: list[BuilderRow], owed: list[chasing.OwedRow], waits: list[coming.ToBillRow], today: date
) -> tuple[BuilderMoney, ...]:
    """Builders with anything of money, who owes longest first."""
    late: dict[str, list[Due]] = {}
    for row in owed:
        late.setdefault(row.company_id, []).extend(due for due in row.dues if due.day < today)
    to_bill: dict[str, Decimal] = {}
    for wait in waits:
        to_bill[wait.company_id] = to_bill.get(wait.company_id, ZERO) + wait.quoted
    lines = [
        BuilderMoney(
            one.id, one.name, one.open, sum((due.amount for due in late.get(one.id, ())), ZERO),
            min((due.day for due in late.get(one.id, ())), default=None), one.held_back, one.credit,
            to_bill.get(one.id, ZERO),
        )
        for one in known
    ]  # fmt: skip
    kept = [one for one in lines if one.open or one.held_back or one.credit or one.to_bill]
    return tuple(sorted(kept, key=lambda one: (one.oldest or date.max, one.name)))
