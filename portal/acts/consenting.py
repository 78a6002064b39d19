"""Yeses to a quote: kept with who gave them and to what; a first taken back, a second asked for."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from portal.acts.lot_state import lot_name, restage
from portal.acts.offering import title_of
from portal.acts.parts import Actor, Parts
from portal.acts.trail import mail, note
from portal.core.consent import Yes, completes, same_person
from portal.core.errors import refuse
from portal.store import consents, people
from portal.store.transaction import Work


def yes_of(row: Any) -> Yes:
    """A kept yes, as the rules judge it."""
    mailed_by = row.link.made_by_id if row.link else None
    return Yes(row.name, row.email, row.fingerprint, row.person_id, mailed_by)


def yes_of_actor(who: Actor, revision: Any, link: Any = None) -> Yes:
    """The yes that this person would give now."""
    return Yes(who.name, who.email, revision.fingerprint, who.person_id, link.made_by_id if link else None)


def first_yes(work: Work, revision: Any) -> Any:
    """The yes that was given to a revision and waits for a second, or None."""
    kept = consents.consents(work, revision.id)
    return kept[0] if kept else None


def keep_yes(
    work: Work, who: Actor, lot: Any, revision: Any, name: str, purchase_order: str,
    amount: Decimal | None, link: Any,
) -> bool:  # fmt: skip
    """Keep a yes; answers whether it makes the acceptance whole. Raises `Refused` where it cannot count."""
    over, first = lot.company.second_over, first_yes(work, revision)
    about = amount_of(revision, first, amount)
    yes = yes_of_actor(who, revision, link)
    whole = completes(yes, yes_of(first) if first else None, about, over)
    if whole and first and same_person(yes, yes_of(first)):
        # The amount was raised in the meantime: one person's yes is kept once.
        first.taken_back_at, first.taken_back_by = work.now, name
    consents.add_consent(
        work, revision, name=name, email=who.email, person_id=who.person_id,
        link_id=link.id if link else None, purchase_order=purchase_order, amount=about, over=over,
    )  # fmt: skip
    return whole


def amount_of(revision: Any, first: Any, amount: Decimal | None = None) -> Decimal:
    """What a yes is about: this quote, or the package it was said yes to with, whichever is more.

    A first yes to a package is completed lot by lot too; by somebody else, as it would be as a whole.
    """
    own: Decimal = revision.total
    return max(own, amount or own, first.amount if first else own)


def ask_for_second(parts: Parts, work: Work, who: Actor, lot: Any, revision: Any, link: Any) -> None:
    """Note the first yes of two, and tell those who may give the second."""
    first, title = first_yes(work, revision), title_of(revision)
    verb, subject = ("first yes by link", f"{title}, {who.email}") if link else ("first yes", title)
    note(
        work, who, verb, subject, lot.id, name=first.name, purchase_order=first.purchase_order,
        fingerprint=first.fingerprint,
    )  # fmt: skip
    for person in seconders(work, lot, first):
        mail(
            parts, work, "second_yes", person.email, lot.id, name=person.name, quote=title,
            lot=lot_name(lot), by=first.name, mailed_to=who.email if link else "", total=revision.total,
            over=first.over, expires_on=revision.expires_on, link=parts.links.builder_lot(lot.id),
        )  # fmt: skip
    restage(work, lot)


def seconders(work: Work, lot: Any, first: Any) -> list[Any]:
    """Those of the company who may give the second yes after this first."""
    given = yes_of(first)
    return [
        person
        for person in people.persons(work, kind="builder", company_id=lot.company_id)
        if "accept" in people.rights_of(person) and may_second(person.id, person.email, given)
    ]


def may_second(person_id: str | None, email: str, first: Yes) -> bool:
    """Whether this person of the company would make the first yes whole."""
    own = Yes("", email, first.fingerprint, person_id)
    return not same_person(own, first) and first.mailed_by != person_id


def take_back_in(work: Work, who: Actor, lot: Any, revision: Any, first: Any) -> None:
    """Take a first yes back, before a second completed it."""
    if revision.state != "sent":
        raise refuse("This quote is already {state}.", state=revision.state)
    first.taken_back_at, first.taken_back_by = work.now, who.name
    if first.link is not None:
        link = first.link
        link.answer, link.answered_at, link.answered_name, link.purchase_order = "", None, "", ""
    note(work, who, "yes taken back", title_of(revision), lot.id, name=first.name)
    restage(work, lot)
