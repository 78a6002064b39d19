"""Under what a warranty is filed in the register, so that it is found again."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from datetime import date

from portal.core.cover.numbers import house_number_key
from portal.core.cover.places import place_key, plain
from portal.core.documents.parties import Place

#: Signs and words between two lot numbers that stand in one field.
_BETWEEN = re.compile(r"[,;/&+\n]|\band\b", re.IGNORECASE)
#: Longer than what a stop's field takes.
LONGEST_KEY = 120


@dataclass(frozen=True, slots=True)
class Filed:
    """What the register knows of a warranty beside its state: all of it as frozen when it was made."""

    find_key: str
    place_key: str
    subdivision_key: str
    technician: str
    technician_key: str
    certificate: str
    certificate_key: str
    container_lot: str
    registration: str
    registration_key: str
    treated_on: date
    year: int
    says: str
    containers: tuple[str, ...]


def find_key(number: str, house_number: str) -> str:
    """The one key of a number and a house number that belong together.

    The two are looked up as one thing: a known number with another house's number is then as little
    there as a number that nobody has, and the store does the same work for both.
    """
    return hashlib.sha256(f"{number}\n{house_number_key(house_number)}".encode()).hexdigest()


def code_key(typed: str) -> str:
    """A certificate, registration or lot number as compared: letters and digits only."""
    return plain(typed).replace(" ", "")[:LONGEST_KEY]


def container_keys(typed: str) -> tuple[str, ...]:
    """Every product lot that a field names: “BL-204 and BL-207” is both, and the whole of it besides.

    The whole, because a maker's own lot number may have a stroke in it.
    """
    pieces = [code_key(typed), *(code_key(piece) for piece in _BETWEEN.split(typed))]
    return tuple(dict.fromkeys(piece for piece in pieces if piece))


def filed(
    number: str, place: Place, company: str, *, technician: str, certificate: str, container_lot: str,
    registration: str, treated_on: date,
) -> Filed:  # fmt: skip
    """What to file a warranty under."""
    return Filed(
        find_key=find_key(number, place.house_number),
        place_key=place_key(place.house_number, place.street, place.postal_code),
        subdivision_key=plain(place.subdivision), technician=technician,
        technician_key=plain(technician)[:200], certificate=certificate,
        certificate_key=code_key(certificate), container_lot=container_lot, registration=registration,
        registration_key=code_key(registration), treated_on=treated_on, year=treated_on.year,
        says=f"{place.lot}\n{place.house_number} {place.street}\n{company}".lower(),
        containers=container_keys(container_lot),
    )  # fmt: skip
