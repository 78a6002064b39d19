"""Who is here: builders, invitations, and the people of both. Signing in is in `signing`."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from portal.acts.parts import RIGHTS, Actor, Parts, must_be, must_be_owner
from portal.acts.rows import CompanyRow, PersonRow, actor_of, person_row
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
from portal.acts.trail import mail, note
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.words import say
from portal.store import people
from portal.store.transaction import Work

__all__ = [
    "IDLE", "LONGEST", "CompanyRow", "PersonRow", "actor_by_email", "add_company", "demo_people",
    "demo_sign_in",
    "everybody", "forgot", "invite", "invite_again", "link_is_for", "set_password", "sign_in", "sign_out",
    "who_is",
]  # fmt: skip

KINDS = ("builder", "office", "technician")


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


def invite(
    parts: Parts, who: Actor, kind: str, name: str, email: str, company_id: str | None = None,
    certificate: str = "", owner: bool = False, rights: Collection[str] = RIGHTS,
) -> str:  # fmt: skip
    """Invite somebody by a mailed link; answers the person's id. Only an owner invites office people."""
    must_be(who, "office", "system")
    if kind == "office" and who.kind != "system":
        must_be_owner(who)
    email = email.strip()
    check(
        [] if kind in KINDS else [Problem("kind", say("Choose what this person does."))],
        text_problems("name", name, 200, MISSING),
        email_problems(email),
        text_problems("certificate", certificate, 80),
        [Problem("company", say("Choose the builder this person works for."))]
        if kind == "builder" and not company_id
        else [],
    )
    with parts.store.writing() as work:
        if people.person_by_email(work, email) is not None:
            raise BadInput([Problem("email", say("Somebody with this mail address is here already."))])
        if kind == "builder":
            people.company(work, company_id or "")
        person = people.add_person(
            work, kind=kind, name=name, email=email, company_id=company_id if kind == "builder" else None,
            owner=owner and kind == "office", certificate=certificate,
            rights=rights if kind == "builder" else (),
        )  # fmt: skip
        _mail_invitation(parts, work, who, person)
        return person.id


def _mail_invitation(parts: Parts, work: Work, who: Actor, person: Any) -> None:
    token = parts.tokens.make("invitation", {"person": person.id, "turn": person.password_turn})
    note(work, who, "invited", person.email)
    mail(
        parts, work, "invitation", person.email, name=person.name, by=who.name if who.person_id else "",
        kind=person.kind,
        link=parts.links.invitation(token),
    )  # fmt: skip


def invite_again(parts: Parts, who: Actor, person_id: str) -> None:
    """Send the invitation once more."""
    must_be(who, "office")
    with parts.store.writing() as work:
        person = people.person(work, person_id)
        if person.password_hash is not None:
            raise refuse("{name} has joined already.", name=person.name)
        _mail_invitation(parts, work, who, person)


def everybody(parts: Parts, who: Actor) -> tuple[list[PersonRow], list[CompanyRow]]:
    """The office's own people, and the builders with theirs."""
    must_be(who, "office")
    with parts.store.reading() as work:
        rows = [person_row(p) for p in people.persons(work)]
        own = [row for row in rows if row.kind != "builder"]
        companies = [
            CompanyRow(c.id, c.name, c.phone, c.email, tuple(row for row in rows if row.company == c.name))
            for c in people.companies(work)
        ]
        return own, companies


def actor_by_email(parts: Parts, email: str) -> Actor:
    """The person with this mail address, for the command line and the demo's own script."""
    with parts.store.reading() as work:
        person = people.person_by_email(work, email)
        if person is None:
            raise NotFound("person", email)
        return actor_of(person)
