"""Inviting somebody by a mailed link, and once more where the first got lost."""

from __future__ import annotations

from collections.abc import Collection
from datetime import timedelta
from typing import Any

from portal.acts.colleagues import check_givable, check_rights, fresh, held
from portal.acts.parts import RIGHTS, Actor, Parts, must_be, must_be_owner, must_have
from portal.acts.slowing import Door
from portal.acts.texts import MISSING, check, email_problems, text_problems
from portal.acts.trail import mail, note
from portal.core.errors import BadInput, Problem, refuse
from portal.core.words import Said, say
from portal.store import people
from portal.store.transaction import Work

KINDS = ("builder", "office", "technician")

#: A builder's own invitations go to whatever address is typed: more than this a day would be a nuisance.
INVITATIONS = Door("invitation", free=40, window=timedelta(days=1), first_wait=timedelta(minutes=10))
HERE_ALREADY = say("Somebody with this mail address is here already.")
#: What a builder is told of an address of anybody else's: who else is here is not theirs to find out.
NOT_FROM_HERE = say("This mail address cannot be invited from here. Ask the office.")


def invite(
    parts: Parts, who: Actor, kind: str, name: str, email: str, company_id: str | None = None,
    certificate: str = "", owner: bool = False, rights: Collection[str] = RIGHTS,
) -> str:  # fmt: skip
    """Invite somebody by a mailed link; answers the person's id. Only an owner invites office people.

    `rights` are those of somebody of a builder's; the first of a company gets all of them.
    """
    must_be(who, "office", "system")
    if kind == "office" and who.kind != "system":
        must_be_owner(who)
    check(
        [] if kind in KINDS else [Problem("kind", say("Choose what this person does."))],
        _who_problems(name, email),
        text_problems("certificate", certificate, 80),
        [Problem("company", say("Choose the builder this person works for."))]
        if kind == "builder" and not company_id
        else [],
    )
    check_rights(rights)
    with parts.store.writing() as work:
        if kind == "builder":
            return _invite_builder(parts, work, who, company_id or "", name, email, rights, HERE_ALREADY)
        _check_free(work, email, HERE_ALREADY)
        person = people.add_person(
            work, kind=kind, name=name, email=email, owner=owner and kind == "office",
            certificate=certificate,
        )  # fmt: skip
        _mail_invitation(parts, work, who, person)
        return person.id


def invite_colleague(parts: Parts, who: Actor, name: str, email: str, rights: Collection[str]) -> str:
    """Somebody of a builder's invites somebody to the same company; answers the person's id."""
    must_be(who, "builder")
    must_have(who, "people")
    check(_who_problems(name, email))
    check_rights(rights)
    company_id = who.company_id or ""
    with parts.store.writing() as work:
        people.locked_company(work, company_id)
        me = fresh(work, who)
        must_have(me, "people")
        check_givable(me, rights)
        _count_invitation(work, who)
        return _invite_builder(parts, work, who, company_id, name, email, rights, NOT_FROM_HERE)


def invite_again(parts: Parts, who: Actor, person_id: str) -> None:
    """Send the invitation once more."""
    must_be(who, "office", "builder")
    with parts.store.writing() as work:
        if who.kind == "builder":
            person: Any = held(work, who, person_id)
            _count_invitation(work, who)
        else:
            person = people.person(work, person_id)
        if not person.active:
            raise refuse("{name} has left. Invite them anew.", name=person.name)
        if person.password_hash is not None:
            raise refuse("{name} has joined already.", name=person.name)
        _mail_invitation(parts, work, who, person)


def _count_invitation(work: Work, who: Actor) -> None:
    INVITATIONS.check(work, f"by {who.company_id}")
    INVITATIONS.add(work, f"by {who.company_id}")


def _invite_builder(
    parts: Parts, work: Work, who: Actor, company_id: str, name: str, email: str, rights: Collection[str],
    elsewhere: Said,
) -> str:  # fmt: skip
    """`elsewhere` is what to say where somebody who is not of this company has the mail address."""
    people.locked_company(work, company_id)
    here = people.person_by_email(work, email)
    _check_free(work, email, HERE_ALREADY if here and here.company_id == company_id else elsewhere)
    first = not people.persons(work, kind="builder", company_id=company_id)
    person = people.add_person(
        work, kind="builder", name=name, email=email, company_id=company_id,
        rights=RIGHTS if first else rights,
    )  # fmt: skip
    _mail_invitation(parts, work, who, person)
    return person.id


def _who_problems(name: str, email: str) -> list[Problem]:
    return text_problems("name", name, 200, MISSING) + email_problems(email.strip())


def _check_free(work: Work, email: str, says: Said) -> None:
    if people.person_by_email(work, email) is not None:
        raise BadInput([Problem("email", says)])


def _mail_invitation(parts: Parts, work: Work, who: Actor, person: Any) -> None:
    token = parts.tokens.make("invitation", {"person": person.id, "turn": person.password_turn})
    rights: dict[str, Any] = {"rights": sorted(people.rights_of(person))} if person.kind == "builder" else {}
    note(work, who, "invited", person.email, **rights)
    mail(
        parts, work, "invitation", person.email, name=person.name, by=who.name if who.person_id else "",
        kind=person.kind,
        link=parts.links.invitation(token),
    )  # fmt: skip
