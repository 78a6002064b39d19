"""Who and where: the lot's place, the builder, the office, the product and the terms in force."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct


class Place(Struct, frozen=True):
    """One house on one piece of ground."""

    lot: str
    subdivision: str
    house_number: str
    street: str
    town: str
    state: str
    postal_code: str
    foundation: str

    @property
    def address(self) -> str:
        """House number and street."""
        return f"{self.house_number} {self.street}"

    @property
    def city_line(self) -> str:
        """Town, state and postal code."""
        return f"{self.town}, {self.state} {self.postal_code}"


class Firm(Struct, frozen=True):
    """The office: as it stands on its papers. `tax_number` is that of its registration for sales tax."""

    name: str
    address: tuple[str, ...]
    phone: str
    email: str
    license: str
    tax_number: str = ""


class Builder(Struct, frozen=True):
    """The builder's company, and the person of it who asked."""

    company: str
    address: tuple[str, ...]
    phone: str
    email: str
    asked_by: str


class ProductEdition(Struct, frozen=True):
    """The product as the office entered it: figures, registration and classification by its label."""

    edition: int
    name: str
    registration: str
    classification: str
    active_ingredient: str
    dry_minutes: Decimal
    height_feet: Decimal
    water_per_concentrate: Decimal


class Certifier(Struct, frozen=True):
    """Who applied: name and certificate number, and the supervisor where there is one."""

    name: str
    certificate: str
    supervisor: str = ""


class Renewal(Struct, frozen=True):
    """How a term of years goes on, and how many times at most."""

    years: int
    fee: Decimal
    #: Whether somebody of the office looks at the house before it is renewed.
    inspection: bool
    #: Offered so many days before the last day, and to be taken up within so many after it.
    days_before: int
    days_after: int
    most: int


class Transfer(Struct, frozen=True):
    """How the promise is handed on. `most` is None where every owner may hand it on; 0: nobody may."""

    most: int | None
    #: Days after the sale within which the office is told; None where no time is set.
    days: int | None
    fee: Decimal
    #: What the office wants to see.
    evidence: str


class Terms(Struct, frozen=True):
    """The office's warranty terms. `years` is None where the term is the life of the structure.

    What follows `release` came later: of terms from before that, they say nothing.
    """

    edition: int
    title: str
    years: int | None
    covers: tuple[str, ...]
    voids: tuple[str, ...]
    ask: str
    notice: str
    release: str
    #: What is done by these terms: "retreat", "repair" (up to an amount), "none" (a record and no promise).
    remedy: str = ""
    repair_up_to: Decimal | None = None
    currency: str = ""
    #: What is not covered, and leaves the rest of the promise whole.
    narrows: tuple[str, ...] = ()
    renewal: Renewal | None = None
    #: None where the terms say nothing of it.
    transfer: Transfer | None = None
