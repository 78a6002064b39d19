"""What stands beside a quote's answer: the links that are out, the yeses given, what a viewer may do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from portal.acts.consenting import amount_of, may_second, yes_of
from portal.acts.deciding import sent_revision
from portal.acts.lot_state import lot_for
from portal.acts.parts import Actor, Parts, has, must_be
from portal.acts.purchasing import standing_of
from portal.core.consent import takes_two
from portal.core.journey import state_on
from portal.core.purchaser import USABLE
from portal.store import consents


@dataclass(frozen=True, slots=True)
class LinkRow:
    """A link in the list on a lot. `standing` is one of core/purchaser.py."""

    id: str
    number: int
    name: str
    email: str
    made_by: str
    made_at: datetime
    expires_on: date
    standing: str
    opened_at: datetime | None
    answered_at: datetime | None
    answered_name: str

    @property
    def out(self) -> bool:
        """Whether it can still be used."""
        return self.standing in USABLE


@dataclass(frozen=True, slots=True)
class YesRow:
    """A yes to a revision. `mailed_to` is the address of the link it came through; `own`: the viewer's."""

    name: str
    email: str
    mailed_to: str
    given_at: datetime
    purchase_order: str
    fingerprint: str
    own: bool


@dataclass(frozen=True, slots=True)
class Answers:
    """What stands beside a quote's answer: the links that are out, the yeses, and what this viewer may do.

    `over` is the company's amount, None where one person's yes is enough for this revision.
    """

    links: tuple[LinkRow, ...]
    yeses: tuple[YesRow, ...]
    over: Decimal | None
    may_answer: bool
    may_second: bool
    may_mail: bool

    @property
    def first(self) -> YesRow | None:
        """The yes that was given first."""
        return self.yeses[0] if self.yeses else None


def answers(parts: Parts, who: Actor, lot_id: str, number: int) -> Answers:
    """The links and yeses of a lot's revision that was sent."""
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id)
        revision = sent_revision(work, lot.id, number)
        kept = consents.consents(work, revision.id)
        state = state_on(revision.state, revision.expires_on, parts.today())
        over = lot.company.second_over
        may = state == "sent" and has(who, "accept")
        return Answers(
            links=tuple(_link_row(link, parts.today()) for link in consents.links(work, lot.id)),
            yeses=tuple(_yes_row(who, row) for row in kept),
            over=over if takes_two(amount_of(revision, kept[0] if kept else None), over) else None,
            may_answer=may and who.kind == "builder",
            may_second=all(may_second(who.person_id, who.email, yes_of(row)) for row in kept), may_mail=may,
        )  # fmt: skip


def _link_row(link: Any, today: date) -> LinkRow:
    return LinkRow(
        link.id, link.revision.number, link.name, link.email, link.made_by, link.made_at, link.expires_on,
        standing_of(link, today), link.opened_at, link.answered_at, link.answered_name,
    )  # fmt: skip


def _yes_row(who: Actor, row: Any) -> YesRow:
    mailed_to = row.email if row.link_id else ""
    own = row.person_id is not None and row.person_id == who.person_id
    return YesRow(row.name, row.email, mailed_to, row.given_at, row.purchase_order, row.fingerprint, own)
