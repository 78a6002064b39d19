"""Signing in and out, mailed links, a forgotten password."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from typing import Any

from portal.acts.parts import Actor, Parts
from portal.acts.rows import PersonRow, actor_of, person_row
from portal.acts.slowing import Door
from portal.acts.trail import mail, note
from portal.core.errors import NotFound, refuse
from portal.store import people, trail
from portal.store.transaction import Work

#: A sign-in ends after this long without a page, and after this long whatever happens.
IDLE, LONGEST = timedelta(days=14), timedelta(days=60)
#: How often a page notes that the person was seen: not on every one, or reading would always write.
SEEN_EVERY = timedelta(minutes=10)

WINDOW = timedelta(minutes=30)
SIGN_IN = Door("sign-in", free=5, window=WINDOW, first_wait=timedelta(seconds=15))
RESET = Door("reset", free=20, window=WINDOW, first_wait=WINDOW)
#: More mails than this to one person within the window would be somebody else's joke.
RESET_MAILS = 3


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def sign_in(parts: Parts, email: str, password: str, address: str) -> str:
    """Open a sign-in; answers its token for the cookie.

    Raises `Refused` without saying which of the two was wrong, `TooManyTries` after a few.
    """
    by_email, by_address = f"for {email.strip().lower()}", f"from {address}"
    # Counted first and taken back when right: many tries sent at once are many tries all the same.
    with parts.store.writing() as work:
        SIGN_IN.check(work, by_email, by_address)
        _, own_try = SIGN_IN.add(work, by_email, by_address)
        person = people.person_by_email(work, email)
        person_id, kept = (person.id, person.password_hash) if person and person.active else ("", None)
    # Outside a transaction, because it takes its time on purpose.
    if not parts.passwords.matches(password, kept):
        raise refuse("The mail address and the password do not go together.")
    with parts.store.writing() as work:
        SIGN_IN.forget(work, by_email)
        trail.drop_try(work, own_try)
        return _open(parts, work, person_id)


def _open(parts: Parts, work: Work, person_id: str) -> str:
    token = parts.luck.token()
    people.add_sign_in(work, _hashed(token), person_id)
    return token


def who_is(parts: Parts, token: str) -> Actor | None:
    """The person behind a cookie's token, or None where the sign-in is over."""
    with parts.store.reading() as work:
        row, now = people.sign_in(work, _hashed(token)), work.now
    if row is None or not row.active or now - row.seen_at > IDLE or now - row.started_at > LONGEST:
        return None
    if now - row.seen_at > SEEN_EVERY:
        with parts.store.writing() as work:
            people.seen(work, _hashed(token))
    return Actor(
        row.person_id, row.name, row.email, row.kind, row.owner, row.company_id, row.company,
        people.rights_of(row),
    )  # fmt: skip


def sign_out(parts: Parts, token: str) -> None:
    """Close a sign-in."""
    with parts.store.writing() as work:
        people.end_sign_in(work, _hashed(token))


def _of_link(parts: Parts, work: Work, purpose: str, token: str, *, locked: bool = False) -> Any:
    content = parts.tokens.read(purpose, token)
    find = people.locked_person if locked else people.person
    person = find(work, content["person"])
    if not person.active or person.password_turn != content["turn"]:
        raise refuse("This link was used already. Sign in, or ask for a new one.")
    return person


def link_is_for(parts: Parts, purpose: str, token: str) -> PersonRow:
    """Whom a mailed link is for. Raises `Refused` where it is old, used, or not ours."""
    with parts.store.reading() as work:
        return person_row(_of_link(parts, work, purpose, token))


def set_password(parts: Parts, purpose: str, token: str, password: str) -> str:
    """Choose a password through a mailed link, which then works no more; answers an open sign-in's token."""
    person = link_is_for(parts, purpose, token)
    made = parts.passwords.hash(password, person.name, person.email)
    with parts.store.writing() as work:
        # Held and asked again: of two who use the link at once, one is too late.
        row = _of_link(parts, work, purpose, token, locked=True)
        row.password_hash = made
        row.password_turn += 1
        people.end_sign_ins_of(work, row.id)
        SIGN_IN.forget(work, f"for {row.email}")
        note(work, actor_of(row), "joined" if purpose == "invitation" else "password set", row.email)
        return _open(parts, work, row.id)


def forgot(parts: Parts, email: str, address: str) -> None:
    """Mail a link to choose a new password, if there is such a person; the page says the same either way."""
    by_email, by_address = f"for {email.strip().lower()}", f"from {address}"
    with parts.store.writing() as work:
        RESET.check(work, by_address)
        RESET.add(work, by_address)
        if RESET.count(work, by_email) >= RESET_MAILS:
            return
        RESET.add(work, by_email)
        person = people.person_by_email(work, email)
        if person is None or not person.active:
            return
        purpose = "reset" if person.password_hash else "invitation"
        token = parts.tokens.make(purpose, {"person": person.id, "turn": person.password_turn})
        link = parts.links.reset(token) if purpose == "reset" else parts.links.invitation(token)
        mail(parts, work, "reset", person.email, name=person.name, link=link)


def demo_people(parts: Parts) -> list[PersonRow]:
    """In the demo only: everybody who can be tried with one press."""
    _demo_only(parts)
    with parts.store.reading() as work:
        return [person_row(p) for p in people.persons(work) if p.password_hash]


def demo_sign_in(parts: Parts, person_id: str) -> str:
    """In the demo only: sign in as somebody without a password."""
    _demo_only(parts)
    with parts.store.writing() as work:
        return _open(parts, work, people.person(work, person_id).id)


def _demo_only(parts: Parts) -> None:
    if not parts.demo:
        raise NotFound("page")
