"""What the technician takes along, and what was really done."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from msgspec import Struct

from portal.core.documents.parties import Builder, Certifier, Firm, Place, ProductEdition
from portal.core.documents.quote import WallAsQuoted


class FieldSheet(Struct, frozen=True):
    """A booked stop: where, when, which walls, how much to load, the batches as a recipe.

    `estimate` is the frozen answer of the engine (product, containers, batches, minutes).
    """

    number: str
    place: Place
    builder: Builder
    office: Firm
    technician: str
    day: date
    quote: str
    house: dict[str, Any]
    estimate: dict[str, Any]
    walls: tuple[WallAsQuoted, ...]
    product: ProductEdition
    notes: str


class TreatedWall(Struct, frozen=True):
    """A stretch as found and done. The second coat's times stand only where the siding was on."""

    key: str
    story: str
    label: str
    feet: Decimal
    quoted: str
    found: str
    first_start: datetime
    first_end: datetime
    second_start: datetime | None = None
    second_end: datetime | None = None

    @property
    def coats(self) -> int:
        """Coats on the inside face."""
        return 2 if self.second_start else 1


class Amounts(Struct, frozen=True):
    """What was mixed: gallons and fluid ounces."""

    concentrate: Decimal
    water: Decimal
    dye_floz: Decimal

    @property
    def finished(self) -> Decimal:
        """Gallons of finished mix."""
        return self.concentrate + self.water

    @property
    def dilution_percent(self) -> Decimal:
        """Concentrate in the finished mix, percent by volume, exact."""
        return self.concentrate * 100 / self.finished


class TreatmentPhoto(Struct, frozen=True):
    """A photo: the fingerprint of its bytes, the stretch it shows (none for a problem's), words, its size."""

    sha256: str
    wall: str
    label: str
    story: str
    words: str
    taken_at: datetime
    size: tuple[int, int]


class TreatmentDocument(Struct, frozen=True):
    """The treatment record. Times are UTC; `zone` names the local time zone they were read in.

    `clocks_off`: minutes by which phones' clocks were ahead (behind: less than zero) when they sent.
    """

    number: str
    place: Place
    builder: Builder
    office: Firm
    quote: str
    treated_on: date
    zone: str
    arrived_at: datetime
    finished_at: datetime
    walls: tuple[TreatedWall, ...]
    interior_feet: Decimal
    interior_start: datetime | None
    interior_end: datetime | None
    total_feet: Decimal
    floor_area: Decimal | None
    product: ProductEdition
    product_name: str
    registration: str
    container_lot: str
    amounts: Amounts
    applicator: Certifier
    method: str
    target: str
    conditions: str
    problems: str
    checks: tuple[str, ...]
    signed_by: str
    house: dict[str, Any]
    photos: tuple[TreatmentPhoto, ...] = ()
    left_over: Decimal | None = None
    clocks_off: tuple[int, ...] = ()
    #: By the firm's settings of that day: how long the record is kept, and how large its notice is.
    kept_years: int | None = None
    notice_size: str = ""

    @property
    def treated_area(self) -> Decimal:
        """Square feet of wall, one face: lineal feet by the height treated."""
        return self.total_feet * self.product.height_feet

    @property
    def applied(self) -> Amounts:
        """What went onto the wood: what was mixed, without what was left over."""
        if not self.left_over:
            return self.amounts
        part = 1 - self.left_over / self.amounts.finished
        return Amounts(*(amount * part for amount in self._mixed))

    @property
    def _mixed(self) -> tuple[Decimal, Decimal, Decimal]:
        return self.amounts.concentrate, self.amounts.water, self.amounts.dye_floz

    @property
    def minutes(self) -> int:
        """Minutes on site, from arriving to the end of the last coat."""
        return int((self.finished_at - self.arrived_at).total_seconds() // 60)
