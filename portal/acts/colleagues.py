"""The people of a builder's company: who is here, what each may do, who left; and the company's address.

The company's own people with the right to it change them, and so does the office. Whoever changes people
holds the company: of two who take the last right from each other, the second is refused.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from portal.acts.mails import kinds_for
from portal.acts.parts import RIGHTS, Actor, Parts, must_be, must_have
from portal.acts.rows import CompanyRow, PersonRow, actor_of, company_row, person_row
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.trail import note
from portal.core.errors import BadInput, NotFound, Overtaken, Problem, refuse
from portal.core.words import say
from portal.store import people, trail
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class OurCompany:
    """A builder's company as its own people see it: `letters` are the kinds that this person gets."""

    company: CompanyRow
    address: str
    letters: tuple[str, ...]
    letters_to_have: tuple[str, ...]


def our_company(parts: Parts, who: Actor) -> OurCompany:
    """Everybody of the company, those who left last, and the letters that this person gets."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        company = people.company(work, who.company_id or "")
        off = people.person(work, who.person_id or "").mails_off
        to_have = kinds_for(who.rights)
        letters = tuple(kind for kind in to_have if kind not in off)
        row = company_row(company, people.of_companies(work, company.id))
        return OurCompany(row, company.address, letters, to_have)


def who_may(parts: Parts, who: Actor, right: str) -> tuple[str, ...]:
    """The names of those of one's own company who have a right and have joined: whom to ask."""
    must_be(who, "builder")
    with parts.store.reading() as work:
        rows = people.persons(work, kind="builder", company_id=who.company_id)
        return tuple(row.name for row in rows if row.password_hash and right in people.rights_of(row))


def person_to_change(parts: Parts, who: Actor, person_id: str) -> PersonRow:
    """Somebody of a builder's whom this person may change. Raises `NotFound`, `NotAllowed`."""
    must_be(who, "office", "builder")
    with parts.store.reading() as work:
        person = _of_builder(work, who, person_id)
        must_have(who, "people")
        if not person.active:
            raise NotFound("person", person_id)
        return person_row(person)


def change_rights(
    parts: Parts, who: Actor, person_id: str, rights: Collection[str], seen: Collection[str]
) -> None:
    """Have somebody of a builder's hold exactly these rights; `seen` are those they were shown with."""
    must_be(who, "office", "builder")
    check_rights(rights)
    with parts.store.writing() as work:
        person = held(work, who, person_id)
        had, wanted = people.rights_of(person), frozenset(rights)
        if not person.active:
            raise NotFound("person", person_id)
        if wanted == had:
            return
        if frozenset(seen) != had:
            raise Overtaken("person")
        check_givable(fresh(work, who), wanted - had)
        if "people" in had - wanted:
            _check_not_last(work, person)
        people.give_rights(person, wanted)
        note(work, who, "rights changed", person.name, person=person.id, had=sorted(had), has=sorted(wanted))


def remove(parts: Parts, who: Actor, person_id: str) -> None:
    """Somebody of a builder's leaves: signed out at once, their links void, their mails stopped.

    The record keeps their name. Their mail address is free again: whoever is invited by it is somebody new,
    so that no link, sign-in or line of history of the one is ever the other's.
    """
    must_be(who, "office", "builder")
    with parts.store.writing() as work:
        person = held(work, who, person_id)
        if not person.active:
            return  # pressed twice
        _check_not_last(work, person)
        people.end_sign_ins_of(work, person.id)
        trail.withdraw_letters(work, person.email)
        note(work, who, "removed", person.name, person=person.id, email=person.email)
        people.take_leave(work, person)


def change_company(parts: Parts, who: Actor, address: str, phone: str, email: str) -> None:
    """Change one's own company's address, phone and mail address, as they stand on papers to come."""
    must_be(who, "builder")
    must_have(who, "people")
    check(
        text_problems("address", address, 1000),
        text_problems("phone", phone, 40),
        email_problems(email) if email else [],
    )
    with parts.store.writing() as work:
        company = people.locked_company(work, who.company_id or "")
        must_have(fresh(work, who), "people")
        before = {"address": company.address, "phone": company.phone, "email": company.email}
        if before == {"address": address, "phone": phone, "email": email}:
            return
        company.address, company.phone, company.email = address, phone, email
        note(work, who, "company changed", company.name, before=before)


def choose_letters(parts: Parts, who: Actor, kinds: Collection[str]) -> None:
    """Get these kinds of letters from now on, and no others. What cannot be turned off comes anyway."""
    must_be(who, "builder")
    may_have = kinds_for(who.rights)
    with parts.store.writing() as work:
        person = people.locked_person(work, who.person_id or "")
        # A kind that is not theirs to have now stays as they once chose it.
        kept = [kind for kind in person.mails_off if kind not in may_have]
        person.mails_off = kept + [kind for kind in may_have if kind not in kinds]


def letters_of_link(parts: Parts, token: str) -> tuple[PersonRow, str]:
    """Whose letters a letter's own link turns off, and which kind. Raises `Refused`, `NotFound`."""
    content = parts.tokens.read("letters", token)
    with parts.store.reading() as work:
        return person_row(people.person(work, content["person"])), content["kind"]


def turn_off(parts: Parts, token: str) -> None:
    """Turn off the one kind of letters that this letter's link is for. Twice is once."""
    content = parts.tokens.read("letters", token)
    with parts.store.writing() as work:
        person = people.locked_person(work, content["person"])
        if content["kind"] not in person.mails_off:
            person.mails_off = [*person.mails_off, content["kind"]]


def held(work: Work, who: Actor, person_id: str) -> Any:
    """Somebody of a builder's, to be changed; their company is held until the transaction ends."""
    company_id = _of_builder(work, who, person_id).company_id
    people.locked_company(work, company_id)
    must_have(fresh(work, who), "people")
    return people.locked_person(work, person_id)


def _of_builder(work: Work, who: Actor, person_id: str) -> Any:
    person = people.person(work, person_id)
    own = who.kind != "builder" or person.company_id == who.company_id
    if person.kind != "builder" or not own:
        raise NotFound("person", person_id)
    return person


def fresh(work: Work, who: Actor) -> Actor:
    """Whoever acts, as they stand now that the company is held: their rights may just have been taken."""
    if who.kind != "builder":
        return who
    return actor_of(people.locked_person(work, who.person_id or ""))


def check_rights(rights: Collection[str]) -> None:
    """Raise `BadInput` for a right that there is not."""
    if not set(rights) <= set(RIGHTS):
        raise BadInput([Problem("rights", say("Choose among the rights there are."))])


def check_givable(who: Actor, rights: Collection[str]) -> None:
    """Nobody of a builder's gives a right that they lack: it would be a way to take it."""
    if who.kind == "builder" and not who.rights.issuperset(rights):
        says = say("You can only give rights that you have yourself. Ask somebody who has it, or the office.")
        raise BadInput([Problem("rights", says)])


def _check_not_last(work: Work, person: Any) -> None:
    """Whoever is the last to change a company's people has to stay it, once they have joined."""
    if not person.may_manage_people or person.password_hash is None:
        return
    others = people.persons(work, kind="builder", company_id=person.company_id)
    if not any(o.may_manage_people and o.password_hash for o in others if o.id != person.id):
        raise refuse(
            "{name} is the last of {company} who can change its people. Give somebody else that right first.",
            name=person.name, company=person.company.name,
        )  # fmt: skip
