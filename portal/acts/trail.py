"""What an act leaves behind it: a line of history, a letter, a once-key."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from portal.acts.mails import kind_of, wants
from portal.acts.parts import Actor, Parts
from portal.core.documents import fingerprint
from portal.core.errors import refuse
from portal.core.history import VERBS
from portal.core.naming import holder_of_account
from portal.store import people, trail
from portal.store.transaction import Work, is_doubled

#: Where a transaction keeps which kinds of letter are left out.
LEFT_OUT = "letters left out"


def note(work: Work, who: Actor, verb: str, subject: str, lot_id: str | None = None, **details: Any) -> None:
    """Add a line of history in the act's own transaction."""
    assert verb in VERBS, verb
    trail.add_history(
        work, by=who.name, person_id=who.person_id, verb=verb, subject=subject, lot_id=lot_id, details=details
    )


def mail(parts: Parts, work: Work, kind: str, to: str, lot_id: str | None = None, /, **values: Any) -> None:
    """Put a letter in the outbox, in the act's own transaction; `fewer` is where its kind is turned off."""
    if not to or kind in work.session.info.get(LEFT_OUT, ()):
        return
    letter = parts.letters.write(kind, values)
    trail.add_letter(
        work, to=to, subject=letter.subject, text=letter.text, html=letter.html, domain=parts.mail_domain,
        lot_id=lot_id, unsubscribe=values.get("fewer", ""),
    )  # fmt: skip


@contextmanager
def told_together(work: Work, *kinds: str) -> Iterator[None]:
    """Leave letters of these kinds out: an act on many lots tells all of them in one letter."""
    work.session.info[LEFT_OUT] = frozenset(kinds)
    try:
        yield
    finally:
        del work.session.info[LEFT_OUT]


def mail_office(parts: Parts, work: Work, kind: str, lot_id: str | None = None, /, **values: Any) -> None:
    """A letter to everybody in the office."""
    for person in people.persons(work, kind="office"):
        mail(parts, work, kind, person.email, lot_id, name=person.name, **values)


def mail_builder(
    parts: Parts, work: Work, kind: str, company_id: str, lot_id: str | None = None, /, *,
    money: Mapping[str, Any] | None = None, but: Collection[str] = (), **values: Any,
) -> frozenset[str]:  # fmt: skip
    """A letter to everybody of a builder's company who wants its kind; answers who was written to, by id:
    an owner's account by its own.

    `money` are values that only those are given who see money; for the others each is None. `but` are the
    persons not to write to, because another letter told them.
    """
    told = set()
    persons = people.persons(work, kind="builder", company_id=company_id)
    if not persons and kind_of(kind) != "quotes":
        return _mail_owner(parts, work, kind, company_id, lot_id, but, {**values, **(money or {})})
    for person in persons:
        rights = people.rights_of(person)
        if person.id in but or not wants(rights, person.mails_off, kind):
            continue
        shown = dict(money or {}) if "money" in rights else dict.fromkeys(money or {})
        token = parts.tokens.make("letters", {"person": person.id, "kind": kind_of(kind)})
        mail(parts, work, kind, person.email, lot_id, name=person.name, **values, **shown,
             fewer=parts.links.fewer(token))  # fmt: skip
        told.add(person.id)
    return frozenset(told)


def _mail_owner(
    parts: Parts, work: Work, kind: str, company_id: str, lot_id: str | None, but: Collection[str],
    values: dict[str, Any],
) -> frozenset[str]:  # fmt: skip
    """An owner's account has nobody who signs in: the letter goes to its address, its link to their own page.

    Quotes reach them through a link of their own, mailed apart.
    """
    company = people.company(work, company_id)
    if company.kind != "owner" or not company.email or company.id in but:
        return frozenset()
    values |= {"name": holder_of_account(company.name), "link": parts.links.ask_holder(), "fewer": ""}
    mail(parts, work, kind, company.email, lot_id, **values)
    return frozenset({company.id})


def once(
    parts: Parts, who: Actor, act: str, key: str, do: Callable[[Work], dict[str, Any]], said: Any = None
) -> dict[str, Any]:
    """Do an act in one transaction, or answer what it answered the first time.

    A double click and a resent form carry the same key, so the second finds the first's answer.
    `said` is what the form said, as plain data: a form that was gone back to and sent with
    something else in it is refused, because answering it as done would lose what was entered.
    Whatever the act refuses leaves nothing of the key behind: the form can be mended and sent again.
    """
    if not key or len(key) > 40:
        raise refuse("This form was not whole. Open the page again and send it from there.")
    # Hashed, so that the longest act and key fit, and no two are cut to the same.
    full = fingerprint({"act": act, "by": who.person_id, "key": key})
    content = hashlib.sha256(json.dumps(said, sort_keys=True, default=str).encode()).hexdigest()
    try:
        with parts.store.writing() as work:
            used = trail.once_key(work, full)
            if used is not None:
                return _answered(used, content)
            used = trail.add_once_key(work, full, content)
            answer = do(work)
            if answer:
                used.answer = answer
            return answer
    except Exception as error:
        if not is_doubled(error):
            raise
    # The other one was first and has just committed: its answer is there to read.
    with parts.store.reading() as work:
        used = trail.once_key(work, full)
        if used is None:
            raise refuse("Something else was entered at the same moment. Please send it again.")
        return _answered(used, content)


def _answered(used: Any, content: str) -> dict[str, Any]:
    if used.content != content:
        raise refuse(
            "This form was sent before, with something else in it. Open the page again to enter more."
        )
    return dict(used.answer or {})
