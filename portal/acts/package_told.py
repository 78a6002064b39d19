"""Who is told of an answer to a package: one letter for all of its lots that were answered."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from portal.acts.consenting import first_yes, seconders
from portal.acts.lot_state import lot_name
from portal.acts.offering import quote_document, title_of
from portal.acts.parts import Actor, Parts
from portal.acts.trail import mail, mail_office
from portal.store import consents
from portal.store.transaction import Work

#: Lots with the revisions that were answered.
Pairs = list[tuple[Any, Any]]


def tell_accepted(
    parts: Parts, work: Work, who: Actor, row: Any, accepted: Pairs, name: str, order: str
) -> None:
    """Of an acceptance: the office, and everybody who said yes, each of their own lots."""
    said = [(yes, pair) for pair in accepted for yes in consents.consents(work, pair[1].id)]
    others = dict.fromkeys(yes.name for yes, _ in said if yes.person_id != who.person_id)
    values = {"by": name, "purchase_order": order, "first": ", ".join(others)}
    mail_office(
        parts, work, "package_accepted", company=who.company, link=parts.links.office_package(row.id),
        **_about(row, accepted), **values,
    )  # fmt: skip
    for email in dict.fromkeys(yes.email for yes, _ in said):
        own = [(yes, pair) for yes, pair in said if yes.email == email]
        # A purchaser's copy leads nowhere: they have no sign-in.
        way = parts.links.builder_package(row.id) if own[0][0].person_id else ""
        mail(
            parts, work, "package_accepted_copy", email, name=own[0][0].name, link=way,
            **_about(row, [pair for _, pair in own]), **values,
        )  # fmt: skip


def tell_declined(parts: Parts, work: Work, who: Actor, row: Any, found: Pairs, reason: str) -> None:
    """Of a no: the office."""
    mail_office(
        parts, work, "package_declined", company=who.company, by=who.name, reason=reason,
        link=parts.links.office_package(row.id), **_about(row, found),
    )  # fmt: skip


def tell_seconders(parts: Parts, work: Work, who: Actor, row: Any, waiting: Pairs) -> None:
    """Of a first yes: those of the company who may give the second."""
    lot, revision = waiting[0]
    first = first_yes(work, revision)
    for person in seconders(work, lot, first):
        mail(
            parts, work, "package_second_yes", person.email, name=person.name, by=first.name, over=first.over,
            expires_on=min(one.expires_on for _, one in waiting), link=parts.links.builder_package(row.id),
            **_about(row, waiting),
        )  # fmt: skip


def _about(row: Any, found: Pairs) -> dict[str, Any]:
    """What every letter says of a package and its lots."""
    return {
        "package": row.number, "title": row.name, "currency": quote_document(found[0][1]).offer.currency,
        "lots": [(lot_name(lot), title_of(revision), revision.total) for lot, revision in found],
        "total": sum((revision.total for _, revision in found), Decimal(0)),
    }  # fmt: skip
