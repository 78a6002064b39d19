"""What a technician loads for one day: product over all stops and by stop, and the equipment."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from msgspec import Struct

from portal.core.documents.package import Concentrate
from portal.core.documents.parties import Firm, Place


class LoadStop(Struct, frozen=True):
    """One stop: where, for how long, and what is mixed there. Gallons, and dye in fluid ounces."""

    number: str
    place: Place
    company: str
    phone: str
    minutes: int
    feet: Decimal
    product: str
    concentrate: Decimal
    water: Decimal
    dye_floz: Decimal
    finished: Decimal
    batches: int
    notes: str


class LoadProduct(Struct, frozen=True):
    """One product over the stops that take it: containers for all of them, and what is mixed from it.

    `containers` is None where no cheapest set could be found: then each stop's own field sheet says it.
    """

    name: str
    registration: str
    stops: int
    concentrate: Decimal
    water: Decimal
    dye_floz: Decimal
    finished: Decimal
    batches: int
    containers: Concentrate | None


class Item(Struct, frozen=True):
    """A piece of equipment (its words: core/treatment/equipment.py), and how many; None for no number."""

    key: str
    count: int | None = None


class LoadSheet(Struct, frozen=True):
    """A technician's day, as it is booked."""

    technician: str
    day: date
    office: Firm
    stops: tuple[LoadStop, ...]
    products: tuple[LoadProduct, ...]
    equipment: tuple[Item, ...]
