"""Who may come in: inviting, joining, signing in and out, a forgotten password."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.trail import mail, note
from portal.core.errors import BadInput, NotFound, Problem, TooManyTries, refuse
from portal.core.words import say
from portal.store import people, trail
from portal.store.transaction import Work

#: A sign-in ends after this long without a page, and after this long whatever happens.
IDLE, LONGEST = timedelta(days=14), timedelta(days=60)
#: How often a page notes that the person was seen: not on every one, or reading would always write.
SEEN_EVERY = timedelta(minutes=10)
FREE_TRIES, WINDOW, FIRST_WAIT = 5, timedelta(minutes=30), timedelta(seconds=15)


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


def _actor(person: Any) -> Actor:
    return Actor(
        person.id, person.name, person.email, person.kind, person.owner, person.company_id,
        person.company.name if person.company else "",
    )  # fmt: skip


def _row(person: Any) -> PersonRow:
    return PersonRow(
        person.id, person.name, person.email, person.kind, person.owner,
        person.company.name if person.company else "", person.certificate, person.password_hash is not None,
    )  # fmt: skip


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def sign_in(parts: Parts, email: str, password: str, address: str) -> str:
    """Open a sign-in; answers its token for the cookie. Raises `Refused` without saying which of the two was wrong."""
    subjects = (f"for {email.strip().lower()}"[:100], f"from {address}"[:100])
    with parts.store.reading() as work:
        for subject in subjects:
            _check_tries(work, subject)
        person = people.person_by_email(work, email)
        right = parts.passwords.matches(password, person.password_hash if person and person.active else None)
    with parts.store.writing() as work:
        if right and person is not None:
            trail.forget_tries(work, "sign-in", subjects[0])
            return _open(parts, work, person.id)
        for subject in subjects:
            trail.add_try(work, "sign-in", subject)
    raise refuse("The mail address and the password do not go together.")


def _check_tries(work: Work, subject: str) -> None:
    count, newest = trail.tries_since(work, "sign-in", subject, work.now - WINDOW)
    if count < FREE_TRIES or newest is None:
        return
    left = newest + min(FIRST_WAIT * 2 ** min(count - FREE_TRIES, 10), WINDOW) - work.now
    if left > timedelta(0):
        raise TooManyTries(int(left.total_seconds()) + 1)


def _open(parts: Parts, work: Work, person_id: str) -> str:
    token = parts.luck.token()
    people.add_sign_in(work, _hashed(token), person_id)
    return token


def who_is(parts: Parts, token: str) -> Actor | None:
    """The person behind a cookie's token, or None where the sign-in is over."""
    with parts.store.reading() as work:
        row = people.sign_in(work, _hashed(token))
        if row is None or not row.person.active:
            return None
        now, seen, started = work.now, row.seen_at, row.started_at
        actor = _actor(row.person)
    if now - seen > IDLE or now - started > LONGEST:
        return None
    if now - seen > SEEN_EVERY:
        with parts.store.writing() as work:
            again = people.sign_in(work, _hashed(token))
            if again is not None:
                again.seen_at = work.now
    return actor


def sign_out(parts: Parts, token: str) -> None:
    """Close a sign-in."""
    with parts.store.writing() as work:
        people.end_sign_in(work, _hashed(token))


def add_company(parts: Parts, who: Actor, name: str, address: str, phone: str, email: str) -> str:
    """Add a builder; answers its id."""
    must_be(who, "office")
    problems = [Problem("name", say("This is missing."))] if not name else []
    problems += [
        Problem(field, say("At most {limit} characters, please.", limit=limit))
        for field, value, limit in (
            ("name", name, 200), ("address", address, 1000), ("phone", phone, 40), ("email", email, 254)
        ) if len(value) > limit
    ]  # fmt: skip
    if problems:
        raise BadInput(problems)
    with parts.store.writing() as work:
        if people.company_named(work, name) is not None:
            raise BadInput([Problem("name", say("There is a builder of this name already."))])
        company = people.add_company(work, name=name, address=address, phone=phone, email=email)
        note(work, who, "company added", name)
        return company.id


def invite(
    parts: Parts, who: Actor, kind: str, name: str, email: str, company_id: str | None = None, certificate: str = "",
    owner: bool = False,
) -> str:  # fmt: skip
    """Invite somebody by a mailed link; answers the person's id. Only an owner invites office people."""
    must_be(who, "office", "system")
    if kind == "office" and who.kind != "system":
        must_be_owner(who)
    _check_person(kind, name, email, company_id, certificate)
    with parts.store.writing() as work:
        if people.person_by_email(work, email) is not None:
            raise BadInput([Problem("email", say("Somebody with this mail address is here already."))])
        if kind == "builder":
            people.company(work, company_id or "")
        person = people.add_person(
            work, kind=kind, name=name, email=email, company_id=company_id if kind == "builder" else None,
            owner=owner and kind == "office", certificate=certificate,
        )  # fmt: skip
        _mail_invitation(parts, work, who, person)
        return person.id


def _check_person(kind: str, name: str, email: str, company_id: str | None, certificate: str) -> None:
    problems = []
    if kind not in ("builder", "office", "technician"):
        problems.append(Problem("kind", say("Choose what this person does.")))
    if not name:
        problems.append(Problem("name", say("This is missing.")))
    local, at, domain = email.partition("@")
    if not (at and local and "." in domain) or any(c.isspace() for c in email) or len(email) > 254:
        problems.append(Problem("email", say("“{read}” is no mail address.", read=email[:60])))
    if kind == "builder" and not company_id:
        problems.append(Problem("company", say("Choose the builder this person works for.")))
    if len(name) > 200:
        problems.append(Problem("name", say("At most {limit} characters, please.", limit=200)))
    if len(certificate) > 80:
        problems.append(Problem("certificate", say("At most {limit} characters, please.", limit=80)))
    if problems:
        raise BadInput(problems)


def _mail_invitation(parts: Parts, work: Work, who: Actor, person: Any) -> None:
    token = parts.tokens.make("invitation", {"person": person.id, "turn": person.password_turn})
    note(work, who, "invited", person.email)
    mail(parts, work, "invitation", person.email, name=person.name, by=who.name, kind=person.kind,
         link=parts.links.invitation(token))  # fmt: skip


def invite_again(parts: Parts, who: Actor, person_id: str) -> None:
    """Send the invitation once more."""
    must_be(who, "office")
    with parts.store.writing() as work:
        person = people.person(work, person_id)
        if person.password_hash is not None:
            raise refuse("{name} has joined already.", name=person.name)
        _mail_invitation(parts, work, who, person)


def _of_link(parts: Parts, work: Work, purpose: str, token: str) -> Any:
    content = parts.tokens.read(purpose, token)
    person = people.person(work, content["person"])
    if not person.active or person.password_turn != content["turn"]:
        raise refuse("This link was used already. Sign in, or ask for a new one.")
    return person


def link_is_for(parts: Parts, purpose: str, token: str) -> PersonRow:
    """Whom a mailed link is for. Raises `Refused` where it is old, used, or not ours."""
    with parts.store.reading() as work:
        return _row(_of_link(parts, work, purpose, token))


def set_password(parts: Parts, purpose: str, token: str, password: str) -> str:
    """Choose a password through a mailed link, which then works no more; answers an open sign-in's token."""
    with parts.store.writing() as work:
        person = _of_link(parts, work, purpose, token)
        person.password_hash = parts.passwords.hash(password, person.name, person.email)
        person.password_turn += 1
        people.end_sign_ins_of(work, person.id)
        trail.forget_tries(work, "sign-in", f"for {person.email}"[:100])
        note(work, _actor(person), "joined" if purpose == "invitation" else "password set", person.email)
        return _open(parts, work, person.id)


def forgot(parts: Parts, email: str, address: str) -> None:
    """Mail a link to choose a new password, where there is such a person: the page says the same either way."""
    with parts.store.reading() as work:
        count, _ = trail.tries_since(work, "reset", f"from {address}"[:100], work.now - WINDOW)
        if count >= 4 * FREE_TRIES:
            raise TooManyTries(int(WINDOW.total_seconds()))
    with parts.store.writing() as work:
        trail.add_try(work, "reset", f"from {address}"[:100])
        person = people.person_by_email(work, email)
        if person is None or not person.active:
            return
        purpose = "reset" if person.password_hash else "invitation"
        token = parts.tokens.make(purpose, {"person": person.id, "turn": person.password_turn})
        link = parts.links.reset(token) if purpose == "reset" else parts.links.invitation(token)
        mail(parts, work, "reset", person.email, name=person.name, link=link)


def everybody(parts: Parts, who: Actor) -> tuple[list[PersonRow], list[CompanyRow]]:
    """The office's own people, and the builders with theirs."""
    must_be(who, "office")
    with parts.store.reading() as work:
        rows = [_row(p) for p in people.persons(work)]
        own = [row for row in rows if row.kind != "builder"]
        companies = [
            CompanyRow(c.id, c.name, c.phone, c.email, tuple(row for row in rows if row.company == c.name))
            for c in people.companies(work)
        ]
        return own, companies


def demo_people(parts: Parts) -> list[PersonRow]:
    """In the demo only: everybody who can be tried with one press."""
    _demo_only(parts)
    with parts.store.reading() as work:
        return [_row(p) for p in people.persons(work) if p.password_hash]


def demo_sign_in(parts: Parts, person_id: str) -> str:
    """In the demo only: sign in as somebody without a password."""
    _demo_only(parts)
    with parts.store.writing() as work:
        return _open(parts, work, people.person(work, person_id).id)


def _demo_only(parts: Parts) -> None:
    if not parts.demo:
        raise NotFound("page")


def actor_by_email(parts: Parts, email: str) -> Actor:
    """The person with this mail address, for the command line and the demo's own script."""
    with parts.store.reading() as work:
        person = people.person_by_email(work, email)
        if person is None:
            raise NotFound("person", email)
        return _actor(person)
