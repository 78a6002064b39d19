"""A link mailed to one named purchaser: made, withdrawn, and listed on the lot. Using it is in `by_link`."""

from __future__ import annotations

import hashlib
from datetime import date
from typing import Any

from portal.acts.consenting import first_yes, take_back_in
from portal.acts.deciding import answerable
from portal.acts.lot_state import lot_name, lot_to_change, restage
from portal.acts.offering import quote_document, title_of
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.trail import mail, note, once
from portal.core.errors import Problem, refuse
from portal.core.journey import state_on
from portal.core.purchaser import USABLE, LinkFacts, standing
from portal.core.words import say
from portal.store import consents
from portal.store.transaction import Work

#: More links than this to one revision, out at once, would be a mailing list.
MOST_OUT = 5
NO_NAME = say("Name the person: the link is for nobody else.")


def hashed(token: str) -> str:
    """What is kept of a link's token."""
    return hashlib.sha256(token.encode()).hexdigest()


def facts_of(link: Any) -> LinkFacts:
    """A kept link, as the rules judge it."""
    return LinkFacts(link.expires_on, link.answer, link.withdrawn_at is not None)


def standing_of(link: Any, today: date) -> str:
    """How a kept link stands today."""
    revision = link.revision
    return standing(facts_of(link), state_on(revision.state, revision.expires_on, today), today)


def mail_link(
    parts: Parts, who: Actor, lot_id: str, number: int, name: str, email: str, until: date | None,
    once_key: str,
) -> None:  # fmt: skip
    """Mail one named purchaser a link to exactly this revision; without a day, as long as the quote holds."""
    must_be(who, "builder", "office")
    email = email.strip()
    check(text_problems("name", name, 200, NO_NAME), email_problems(email))

    def do(work: Work) -> dict[str, Any]:
        lot, revision = answerable(parts, work, who, lot_id, number)
        must_have(who, "accept")
        last = until or revision.expires_on
        check(_until_problems(last, parts.today(), revision.expires_on))
        _check_room(parts, work, lot, revision, email)
        mail_in(parts, work, who, lot, revision, name, email, last)
        restage(work, lot)
        return {}

    once(parts, who, f"link {lot_id}", once_key, do, [number, name, email, until])


def _until_problems(last: date, today: date, holds_until: date) -> list[Problem]:
    if last < today:
        return [Problem("until", say("{day} is over already.", day=last))]
    if last > holds_until:
        return [Problem("until", say("The quote itself holds until {day}: no link lasts longer.",
                                     day=holds_until))]  # fmt: skip
    return []


def _check_room(parts: Parts, work: Work, lot: Any, revision: Any, email: str) -> None:
    out = [
        link
        for link in consents.links(work, lot.id)
        if link.revision_id == revision.id and standing_of(link, parts.today()) in USABLE
    ]
    if any(link.email.lower() == email.lower() for link in out):
        raise refuse("A link to this quote is out to {email} already. Withdraw it to mail another.",
                     email=email)  # fmt: skip
    if len(out) >= MOST_OUT:
        raise refuse("{n} links to this quote are out already. Withdraw one to mail another.", n=MOST_OUT)


def mail_in(
    parts: Parts, work: Work, who: Actor, lot: Any, revision: Any, name: str, email: str, last: date
) -> None:
    """The same within another act's transaction, of a lot that is held and a revision that is sent."""
    token, title = parts.luck.token(), title_of(revision)
    assert who.person_id is not None
    consents.add_link(
        work, revision, token_hash=hashed(token), lot_id=lot.id, name=name, email=email, made_by=who.name,
        made_by_id=who.person_id, expires_on=last,
    )  # fmt: skip
    note(work, who, "link mailed", f"{title}, {email}", lot.id, purchaser=name, day=last.isoformat())
    document = quote_document(revision)
    mail(
        parts, work, "purchaser_link", email, lot.id, name=name, by=who.name, company=lot.company.name,
        office=document.office, from_office=who.kind == "office", quote=title, lot=lot_name(lot),
        until=last, link=parts.links.purchaser(token),
    )  # fmt: skip


def withdraw_link(parts: Parts, who: Actor, lot_id: str, link_id: str) -> None:
    """Withdraw a link: it opens nothing any more, and a yes through it that waits for a second is void."""
    must_be(who, "builder", "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id)
        must_have(who, "accept")
        link = consents.link(work, lot.id, link_id)
        now = standing_of(link, parts.today())
        if now not in USABLE:
            raise refuse("This link cannot be used any more as it is.")
        first = first_yes(work, link.revision)
        if first is not None and first.link_id == link.id:
            take_back_in(work, who, lot, link.revision, first)
        link.withdrawn_at, link.withdrawn_by = work.now, who.name
        subject = f"{title_of(link.revision)}, {link.email}"
        note(work, who, "link withdrawn", subject, lot.id, purchaser=link.name)
        restage(work, lot)
