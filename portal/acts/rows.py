"""Persons and companies as frozen records."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
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
    rights: frozenset[str] = frozenset()
    left_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class CompanyRow:
    """A builder in a list."""

    id: str
    name: str
    phone: str
    email: str
    people: tuple[PersonRow, ...]
    left: tuple[PersonRow, ...] = ()


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
        person.id, person.name, person.left_email or person.email, person.kind, person.owner, company,
        person.certificate, person.password_hash is not None, people.rights_of(person), person.left_at,
    )  # fmt: skip


def company_row(company: Any, everybody: Iterable[Any]) -> CompanyRow:
    """A builder in a list, with those of `everybody` who are or were its people."""
    rows = [person_row(p) for p in everybody if p.company_id == company.id]
    return CompanyRow(
        company.id, company.name, company.phone, company.email,
        tuple(row for row in rows if row.left_at is None), tuple(row for row in rows if row.left_at),
    )  # fmt: skip
