"""A package: what it adds to the quote of each of its lots, and its cover, frozen when it is sent."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from msgspec import Struct

from portal.core.documents.parties import Builder, Firm, Place


class LotFeet(Struct, frozen=True):
    """One of the lots that slices ran over, and its feet; `key` and `exact` are what the shares went by."""

    lot: str
    feet: Decimal
    key: str = ""
    exact: str = ""


class InPackage(Struct, frozen=True):
    """What a quote says of the package its lot is in.

    Where the slices ran over the sum of the feet: `lots` and `feet` they ran over, `whole` what the
    treatment of all of these comes to, `alone` what that of this lot would by itself. Of estimated
    feet `price_low` and `price_high` are the totals at the low and the high feet of this lot.
    """

    number: str
    name: str
    lots: tuple[LotFeet, ...] = ()
    feet: Decimal = Decimal("0.00")
    whole: Decimal = Decimal("0.00")
    alone: Decimal = Decimal("0.00")
    price_low: Decimal | None = None
    price_high: Decimal | None = None

    @property
    def together(self) -> bool:
        """Whether the slices ran over more than this one lot."""
        return len(self.lots) > 1


class CoverLot(Struct, frozen=True):
    """One lot of a package, by its quote as it was out when the cover was made."""

    place: Place
    quote: str
    fingerprint: str
    feet: Decimal
    concentrate: Decimal
    total: Decimal
    expires_on: date
    state: str


class Containers(Struct, frozen=True):
    """Whole containers of one size."""

    gallons: Decimal
    count: int


class Concentrate(Struct, frozen=True):
    """Concentrate of all lots: containers for each by itself, and for all together, with what is left over.

    `part_used` is how many lots leave a container that is partly used where each is bought for by itself.
    """

    gallons: Decimal
    apart: tuple[Containers, ...]
    apart_left: Decimal
    together: tuple[Containers, ...]
    together_left: Decimal
    part_used: int

    @property
    def saved(self) -> int:
        """How many containers fewer it takes together."""
        return sum(one.count for one in self.apart) - sum(one.count for one in self.together)


class PackageDocument(Struct, frozen=True):
    """The cover of a package: its lots with the quotes that are out. Each quote says the rest.

    `slices_feet` is the sum of the feet that the slices ran over where they ran over a package's.
    """

    number: str
    issue: int
    name: str
    builder: Builder
    office: Firm
    currency: str
    lots: tuple[CoverLot, ...]
    feet: Decimal
    total: Decimal
    slices_feet: Decimal | None
    concentrate: Concentrate | None
    sent_on: date
