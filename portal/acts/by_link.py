"""What a purchaser does through a mailed link: reads one quote, answers it, takes a waiting yes back.

Nobody signs in. The link opens exactly one revision; what is not ours is not found, whatever was typed.
Opening changes nothing but the moment it was first opened: programs that look into mails open links too.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from portal.acts import papers
from portal.acts.consenting import first_yes, take_back_in
from portal.acts.deciding import NO_REASON, accept_in, check_signature, decline_in, must_be_seen
from portal.acts.link_page import LinkPage, page_of
from portal.acts.papers import PaperFile
from portal.acts.parts import SYSTEM, Actor, Parts
from portal.acts.purchasing import facts_of, hashed, standing_of
from portal.acts.slowing import Door
from portal.acts.texts import check, text_problems
from portal.acts.trail import once
from portal.core.errors import NotFound, Refused
from portal.core.purchaser import SAYS, USABLE, shows_quote
from portal.store import consents, lots
from portal.store.transaction import Work

#: Wrong links are free up to so many from one address: a mail program breaks a long line once, not often.
LINK = Door("purchaser", free=10, window=timedelta(minutes=30), first_wait=timedelta(seconds=30))
#: Longer than any token of ours.
LONGEST_TOKEN = 100


def open_link(parts: Parts, token: str, address: str, *, opened: bool) -> LinkPage:
    """The page of a link; `opened` where somebody looks at it. Raises `NotFound` where it is not ours."""
    link_id = known(parts, token, address, opened=opened)
    with parts.store.reading() as work:
        return page_of(parts, work, consents.link_of(work, link_id))


def known(parts: Parts, token: str, address: str, *, opened: bool = False) -> str:
    """The id of a token's link; a token that is none counts as a try from this address."""
    by_address = f"from {address}"
    with parts.store.writing() as work:
        LINK.check(work, by_address)
        link = consents.link_by_hash(work, hashed(token)) if len(token) <= LONGEST_TOKEN else None
        if link is None:
            LINK.add(work, by_address)
        elif opened and link.opened_at is None and standing_of(link, parts.today()) in USABLE:
            link.opened_at = work.now
    if link is None:
        raise NotFound("link")
    found: str = link.id
    return found


def paper_by_link(parts: Parts, token: str, address: str) -> PaperFile:
    """The quote's PDF, as long as the quote is shown. Raises `NotFound` where it is not."""
    link_id = known(parts, token, address)
    with parts.store.reading() as work:
        link = consents.link_of(work, link_id)
        if not shows_quote(standing_of(link, parts.today()), facts_of(link), parts.today()):
            raise NotFound("paper", "quote")
        lot_id, number = link.lot_id, link.revision.number
    return papers.paper(parts, SYSTEM, lot_id, "quote", number)


def accept_by_link(
    parts: Parts, token: str, seen: str, name: str, purchase_order: str, once_key: str, address: str
) -> bool:
    """Accept the link's quote under a typed name; answers whether it is accepted by that."""
    link_id = known(parts, token, address)
    check_signature(name, purchase_order)

    def do(work: Work) -> dict[str, Any]:
        link, lot = _usable(parts, work, link_id, "open")
        must_be_seen(link.revision, seen)
        who = _purchaser(link, lot, name)
        whole = accept_in(parts, work, who, lot, link.revision, name, purchase_order, link=link)
        _answer(work, link, "accepted" if whole else "first yes", name)
        link.purchase_order = purchase_order
        return {"whole": whole}

    kept = once(parts, SYSTEM, f"link accept {link_id}", once_key, do, [seen, name, purchase_order])
    return bool(kept["whole"])


def decline_by_link(parts: Parts, token: str, seen: str, reason: str, once_key: str, address: str) -> None:
    """Decline the link's quote, with a reason."""
    link_id = known(parts, token, address)
    check(text_problems("reason", reason, 2000, NO_REASON))

    def do(work: Work) -> dict[str, Any]:
        link, lot = _usable(parts, work, link_id, "open")
        must_be_seen(link.revision, seen)
        decline_in(parts, work, _purchaser(link, lot, link.name), lot, link.revision, reason, link=link)
        _answer(work, link, "declined", link.name)
        link.reason = reason
        return {}

    once(parts, SYSTEM, f"link decline {link_id}", once_key, do, [seen, reason])


def take_back_by_link(parts: Parts, token: str, address: str) -> None:
    """Take the link's yes back, as long as it waits for a second; the quote can then be answered anew."""
    link_id = known(parts, token, address)
    with parts.store.writing() as work:
        link, lot = _usable(parts, work, link_id, "kept")
        first = first_yes(work, link.revision)
        take_back_in(work, _purchaser(link, lot, link.answered_name), lot, link.revision, first)


def _usable(parts: Parts, work: Work, link_id: str, wanted: str) -> tuple[Any, Any]:
    """The link and its lot, held. Raises `Refused` where it stands otherwise by now."""
    lot = lots.locked(work, consents.link_of(work, link_id).lot_id)
    link = consents.fresh_link(work, link_id)
    now = standing_of(link, parts.today())
    if now != wanted:
        raise Refused(SAYS[now])
    return link, lot


def _purchaser(link: Any, lot: Any, name: str) -> Actor:
    """Whoever holds the link, under the typed name: for this one quote they have the right to answer."""
    return Actor(
        None, name, link.email, "purchaser", company_id=lot.company_id, company=lot.company.name,
        rights=frozenset({"accept"}),
    )  # fmt: skip


def _answer(work: Work, link: Any, answer: str, name: str) -> None:
    link.answer, link.answered_at, link.answered_name = answer, work.now, name
