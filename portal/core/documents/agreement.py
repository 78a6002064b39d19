"""What a quote says of the agreement that it was priced by."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from msgspec import Struct


class AgreedBand(Struct, frozen=True):
    """A band of the price as agreed, its figures as entered; the last one has no end."""

    up_to_feet: Decimal | None
    per_foot: Decimal


class AgreementOnQuote(Struct, frozen=True):
    """The agreement by its number, for whom it is, from when to when, and what it changes: bands or percent.

    `subdivision` is empty where it is for all lots of the builder. `last_day` is as it stood on that day.
    """

    number: str
    subdivision: str
    first_day: date
    last_day: date | None
    bands: tuple[AgreedBand, ...] = ()
    percent: Decimal | None = None
