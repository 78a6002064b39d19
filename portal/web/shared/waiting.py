"""The price of waiting on a lot's sheets: the line of days, and what the sentences beside it need."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flask_babel import gettext as _
from markupsafe import Markup

from portal.acts.sheet import LotSheet, RevisionView
from portal.core.documents import WallAsQuoted
from portal.core.journey import WAITING
from portal.core.pricing.waiting import Cost, Days, cost_of_waiting
from portal.drawing import Worded, days_svg
from portal.web.security import parts
from portal.web.shared import figures
from portal.web.shared.pages import reads
from portal.web.shared.sheet_form import SIDING_DAY_ON
from portal.web.shared.sketch import NARROW, WIDE

#: The states of a quote whose price still holds or is to come.
HOLDS = frozenset({"to check", "approved", "sent", "accepted"})


@dataclass(frozen=True, slots=True)
class Waiting:
    """What a sheet shows. `days` is None where no day is given, `cost` where there is no price yet.

    `estimated`: by the takeoff's estimate, because there is no quote to see yet.
    """

    days: Days | None = None
    cost: Cost | None = None
    wide: Markup | None = None
    narrow: Markup | None = None
    estimated: bool = False


def waiting(
    lot: LotSheet, shown: str, quote: RevisionView | None, walls: Iterable[WallAsQuoted]
) -> Waiting | None:
    """The price of waiting, until a treatment is booked; None where it has no place or nothing can be added.

    The day is the lot's own as it stands today, which may have been given after the quote was sent.
    """
    gone = quote is not None and quote.state not in HOLDS
    if shown not in SIDING_DAY_ON or lot.stage not in WAITING or gone:
        return None
    if all(wall.status == "sided" for wall in walls):
        return None
    if lot.siding_starts is None:
        return Waiting()
    days = Days(parts().today(), lot.siding_starts, lot.insulation_starts, lot.days_off)
    cost = _cost(lot, quote)
    wide, narrow = (_drawn(days, cost, width) for width in (WIDE, NARROW))
    return Waiting(days, cost, wide, narrow, estimated=quote is None)


def _cost(lot: LotSheet, quote: RevisionView | None) -> Cost | None:
    """By the quote; before there is one to see, by the estimate, as long as today's rates give the same."""
    if quote is not None:
        return cost_of_waiting(quote.document) if quote.document else None
    found = figures.of_today(lot)
    return cost_of_waiting(found.priced()) if found else None


def _drawn(days: Days, cost: Cost | None, width: int) -> Markup:
    """The line of days as markup: what stands in it are words of the house, days and amounts, all escaped."""
    title = _("Line of days")
    desc = _("The days that count, to scale. The list beside it says the same in words.")
    drawn = days_svg(days, _worded(days, cost), title=title, desc=desc, width=width, ident=f"days-{width}")
    return Markup(drawn)


def _worded(days: Days, cost: Cost | None) -> Worded:
    day, money = reads().weekday, reads().money
    return Worded(
        today=_("Today, %(day)s", day=day(days.today)),
        last_good=_("Last good day, %(day)s", day=day(days.last_good)),
        siding=_("Siding starts, %(day)s", day=day(days.siding_starts)),
        insulation=_("Insulation, %(day)s", day=day(days.insulation_starts)),
        price_now=money(cost.now, cost.currency) if cost else "",
        price_after=money(cost.after, cost.currency) if cost else "",
    )
