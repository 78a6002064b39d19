"""Persons and companies as frozen records."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from portal.acts.parts import Actor
from portal.store import people


@dataclass(frozen=True, slots=True)
class PersonRow:
    """A person in a list. `joined` once a password is chosen."""

    id: str
    name: str
    email: str
    kind: str
    owner: bool
    company: str
    certificate: str
    joined: bool


@dataclass(frozen=True, slots=True)
class CompanyRow:
    """A builder in a list."""

    id: str
    name: str
    phone: str
    email: str
    people: tuple[PersonRow, ...]


def actor_of(person: Any) -> Actor:
    """A stored person as one who acts."""
    company = person.company.name if person.company else ""
    return Actor(
        person.id, person.name, person.email, person.kind, person.owner, person.company_id, company,
        people.rights_of(person),
    )  # fmt: skip


def person_row(person: Any) -> PersonRow:
    """A stored person in a list."""
    company = person.company.name if person.company else ""
    return PersonRow(
        person.id, person.name, person.email, person.kind, person.owner, company, person.certificate,
        person.password_hash is not None,
    )  # fmt: skip
