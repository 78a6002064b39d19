"""What an agreement changes, and for how long, in words; of a stored one and of one on a quote alike."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from flask_babel import gettext as _

from portal.core.documents import AgreementOnQuote
from portal.core.pricing.agreement import Agreement
from portal.web.shared.pages import reads


def span(one: Agreement | AgreementOnQuote) -> str:
    """From when to when."""
    return days(one.first_day, one.last_day)


def days(first: date, last: date | None) -> str:
    """The same of any two days."""
    if last is None:
        return str(_("from %(first)s", first=reads().day(first)))
    return str(_("%(first)s through %(last)s", first=reads().day(first), last=reads().day(last)))


def changes(one: Agreement) -> str:
    """Bands with their rates, or the percentage."""
    said = one.on_quote()
    if said.percent is not None:
        return str(_("%(percent)s%% off", percent=reads().percent(said.percent)))
    return "; ".join(_band(band.up_to_feet, band.per_foot) for band in said.bands)


def _band(end: Decimal | None, rate: Decimal) -> str:
    money: Any = reads().rate(rate)
    if end is None:
        return str(_("%(rate)s a foot beyond", rate=money))
    return str(_("%(rate)s a foot up to %(feet)s ft", rate=money, feet=reads().number(end)))
