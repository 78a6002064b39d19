"""What stands on records of a technician: the certificate's number, and the supervisor where there is one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import note
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.words import say
from portal.store import people
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Certified:
    """A technician, the number of the certificate, and the certified applicator they work under."""

    id: str
    name: str
    certificate: str
    supervisor: str


def certified(parts: Parts, who: Actor, person_id: str) -> Certified:
    """What is known of a technician. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = _technician(work, person_id)
        return Certified(row.id, row.name, row.certificate, row.supervisor)


def certify(parts: Parts, who: Actor, person_id: str, certificate: str, supervisor: str) -> None:
    """Enter a technician's certificate. It stands on the next records; those made stay as they are."""
    must_be(who, "office")
    check(
        text_problems("certificate", certificate, 80),
        text_problems("supervisor", supervisor, 200),
    )
    if supervisor and not certificate:
        says = say("With a supervisor, the supervisor’s certificate number is needed.")
        raise BadInput([Problem("certificate", says)])
    with parts.store.writing() as work:
        row = _technician(work, person_id)
        row.certificate, row.supervisor = certificate, supervisor
        note(work, who, "certified", row.name)


def _technician(work: Work, person_id: str) -> Any:
    row = people.person(work, person_id)
    if row.kind != "technician" or not row.active:
        raise NotFound("person", person_id)
    return row
