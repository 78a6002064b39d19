"""Who is here: builders, invitations, and the people of both. Signing in is in `signing`."""

from __future__ import annotations

from portal.acts.inviting import invite, invite_again, invite_colleague
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.rows import CompanyRow, PersonRow, actor_of, company_row, person_row
from portal.acts.signing import (
    IDLE,
    LONGEST,
    demo_people,
    demo_sign_in,
    forgot,
    link_is_for,
    set_password,
    sign_in,
    sign_out,
    who_is,
)
from portal.acts.texts import MISSING, check, email_problems, text_problems
from portal.acts.trail import note
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.words import say
from portal.store import people

__all__ = [
    "IDLE", "LONGEST", "CompanyRow", "PersonRow", "actor_by_email", "add_company", "demo_people",
    "demo_sign_in",
    "everybody", "forgot", "invite", "invite_again", "invite_colleague", "link_is_for", "set_password",
    "sign_in", "sign_out", "who_is",
]  # fmt: skip


def add_company(parts: Parts, who: Actor, name: str, address: str, phone: str, email: str) -> str:
    """Add a builder; answers its id."""
    must_be(who, "office")
    check(
        text_problems("name", name, 200, MISSING),
        text_problems("address", address, 1000),
        text_problems("phone", phone, 40),
        email_problems(email) if email else [],
    )
    with parts.store.writing() as work:
        if people.company_named(work, name) is not None:
            raise BadInput([Problem("name", say("There is a builder of this name already."))])
        company = people.add_company(work, name=name, address=address, phone=phone, email=email)
        note(work, who, "company added", name)
        return company.id


def everybody(parts: Parts, who: Actor) -> tuple[list[PersonRow], list[CompanyRow]]:
    """The office's own people, and the builders with theirs."""
    must_be(who, "office")
    with parts.store.reading() as work:
        own = [person_row(p) for p in people.persons(work) if p.kind != "builder"]
        of_builders = people.of_companies(work)
        return own, [company_row(company, of_builders) for company in people.companies(work)]


def actor_by_email(parts: Parts, email: str) -> Actor:
    """The person with this mail address, for the command line and the demo's own script."""
    with parts.store.reading() as work:
        person = people.person_by_email(work, email)
        if person is None:
            raise NotFound("person", email)
        return actor_of(person)
