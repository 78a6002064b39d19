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
    """The office: as it stands on its papers."""

    name: str
    address: tuple[str, ...]
    phone: str
    email: str
    license: str


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


class Terms(Struct, frozen=True):
    """The office's warranty terms. `years` is None where the term is the life of the structure."""

    edition: int
    title: str
    years: int | None
    covers: tuple[str, ...]
    voids: tuple[str, ...]
    ask: str
    notice: str
    release: str
