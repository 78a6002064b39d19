"""A sent quote is accepted or declined."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from portal.acts.answered import tell_accepted, tell_declined
from portal.acts.billing import ask_deposit
from portal.acts.consenting import ask_for_second, first_yes, keep_yes, take_back_in, yes_of, yes_of_actor
from portal.acts.lot_state import lot_to_change, restage
from portal.acts.offering import supersede_others
from portal.acts.parts import Actor, Parts, must_be, must_have
from portal.acts.texts import check, text_problems
from portal.acts.trail import once
from portal.core.consent import same_person
from portal.core.errors import NotFound, refuse
from portal.core.journey import QUOTE, move, state_on
from portal.core.words import say
from portal.store import jobs, owed, quotes
from portal.store.transaction import Work

NO_NAME = say("Type your name: it stands on the acceptance.")
NO_REASON = say("Say in a few words why, so that the office can do better.")


def answerable(parts: Parts, work: Work, who: Actor, lot_id: str, number: int) -> tuple[Any, Any]:
    """The lot, held, and exactly the revision that was seen, where it may still be answered.

    Raises `Refused` with a way on.
    """
    lot = lot_to_change(work, who, lot_id)
    revision = sent_revision(work, lot.id, number)
    state = state_on(revision.state, revision.expires_on, parts.today())
    if state == "superseded":
        raise refuse("A newer revision has taken the place of this one. Open the newest and answer that.")
    if state == "lapsed":
        day = revision.expires_on or ""
        raise refuse(
            "This quote held until {day} and has lapsed. Ask again: everything is carried over.", day=day
        )
    if state != "sent":
        raise refuse("This quote is already {state}.", state=state)
    return lot, revision


def sent_revision(work: Work, lot_id: str, number: int) -> Any:
    """A revision of a lot's quote that was sent. Raises `NotFound`."""
    quote = quotes.quote_of(work, lot_id)
    rows = quotes.revisions(work, quote.id) if quote else []
    found = next((r for r in rows if r.number == number and r.sent_at), None)
    if found is None:
        raise NotFound("quote", number)
    return found


def must_be_seen(revision: Any, seen: str) -> None:
    """Refuse an answer to another quote than the one that was shown; `seen` is its fingerprint."""
    if seen != revision.fingerprint:
        raise refuse("This is not the quote that was shown. Open it again, read it, and answer it there.")


def check_signature(name: str, purchase_order: str) -> None:
    """Raise `BadInput` where a typed name or an order's number cannot stand on an acceptance."""
    check(
        text_problems("name", name, 200, NO_NAME),
        text_problems("purchase_order", purchase_order, 80),
    )


def accept(
    parts: Parts, who: Actor, lot_id: str, number: int, seen: str, name: str, purchase_order: str,
    once_key: str,
) -> bool:  # fmt: skip
    """Accept exactly the revision seen (`seen` is its fingerprint): the job comes to be, to be booked.

    Answers whether it is accepted now; where not, this was the first yes of the two its company wants.
    """
    must_be(who, "builder")
    must_have(who, "accept")  # asked first: nobody types a name in vain
    check_signature(name, purchase_order)

    def do(work: Work) -> dict[str, Any]:
        lot, revision = answerable(parts, work, who, lot_id, number)
        must_be_seen(revision, seen)
        return {"whole": accept_in(parts, work, who, lot, revision, name, purchase_order)}

    said = {"number": number, "seen": seen, "name": name, "purchase_order": purchase_order}
    return bool(once(parts, who, f"accept {lot_id}", once_key, do, said)["whole"])


def accept_in(
    parts: Parts, work: Work, who: Actor, lot: Any, revision: Any, name: str, purchase_order: str, *,
    amount: Decimal | None = None, link: Any = None,
) -> bool:  # fmt: skip
    """Accept a revision within another act's transaction: the lot is held, the revision is `answerable`.

    `amount` is what the answer is about where that is more than this quote: a package's sum. `link` is the
    purchaser's link that it came through. Answers whether the quote is accepted now, or this was the
    first yes of the two that its company wants.
    """
    must_have(who, "accept")
    first = first_yes(work, revision)
    if not keep_yes(work, who, lot, revision, name, purchase_order, amount, link):
        ask_for_second(parts, work, who, lot, revision, link)
        return False
    revision.state = move(QUOTE, revision.state, "accepted")
    revision.decided_at, revision.decided_by = work.now, name
    revision.purchase_order = purchase_order or (first.purchase_order if first else "")
    supersede_others(work, who, lot, revision)
    jobs.add_job(work, owed.next_number(work, "J", parts.today().year), revision, lot.id)
    tell_accepted(parts, work, who, lot, revision, link)
    ask_deposit(parts, work, who, lot, revision)
    restage(work, lot)
    return True


def take_back(parts: Parts, who: Actor, lot_id: str, number: int) -> None:
    """Take one's own yes back, as long as it waits for a second person's."""
    must_be(who, "builder")
    with parts.store.writing() as work:
        lot, revision = answerable(parts, work, who, lot_id, number)
        must_have(who, "accept")
        first = first_yes(work, revision)
        if first is None or not same_person(yes_of_actor(who, revision), yes_of(first)):
            raise refuse("There is no yes of yours to take back.")
        take_back_in(work, who, lot, revision, first)


def decline(parts: Parts, who: Actor, lot_id: str, number: int, reason: str, once_key: str) -> None:
    """Decline a revision, with a reason."""
    must_be(who, "builder")
    must_have(who, "accept")
    check(text_problems("reason", reason, 2000, NO_REASON))

    def do(work: Work) -> dict[str, Any]:
        lot, revision = answerable(parts, work, who, lot_id, number)
        decline_in(parts, work, who, lot, revision, reason)
        return {}

    once(parts, who, f"decline {lot_id}", once_key, do, {"number": number, "reason": reason})


def decline_in(
    parts: Parts, work: Work, who: Actor, lot: Any, revision: Any, reason: str, *, link: Any = None
) -> None:
    """Decline a revision within another act's transaction: the lot is held, the revision is `answerable`.

    One person's no is enough; `link` is the purchaser's link that it came through.
    """
    must_have(who, "accept")
    revision.state = move(QUOTE, revision.state, "declined")
    revision.decided_at, revision.decided_by, revision.decline_reason = work.now, who.name, reason
    tell_declined(parts, work, who, lot, revision, link)
    restage(work, lot)
