"""What a purchaser's link shows: its quote and nothing beside it, or why there is nothing to see."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from portal.acts.consenting import amount_of, first_yes
from portal.acts.editions import in_force
from portal.acts.estimating import figures
from portal.acts.offering import quote_document, title_of
from portal.acts.parts import Parts
from portal.acts.purchasing import facts_of, standing_of
from portal.core.answer import without_cost
from portal.core.consent import takes_two
from portal.core.documents import QuoteDocument
from portal.core.errors import BadInput
from portal.core.estimate import Step
from portal.core.pricing.agreement import site_quoted
from portal.core.purchaser import SAYS, shows_quote
from portal.core.words import Said
from portal.store import lots
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class LinkAnswer:
    """What was answered through a link, as its purchaser sees it again."""

    answer: str
    name: str
    at: datetime
    purchase_order: str
    reason: str
    title: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class OfferedQuote:
    """The quote of a link. `over` is set where its company wants two yeses, `first_given` where one is there.

    `steps` are how its figures were got, as long as today's editions give the same.
    """

    number: int
    title: str
    document: QuoteDocument
    fingerprint: str
    sent_at: datetime
    expires_on: date
    over: Decimal | None
    first_given: bool
    steps: tuple[Step, ...]
    notes: tuple[Said, ...] | None


@dataclass(frozen=True, slots=True)
class LinkPage:
    """What a link leads to. `quote` is None where nothing of it is shown, `says` is then why."""

    standing: str
    name: str
    expires_on: date
    says: Said | None
    quote: OfferedQuote | None
    answered: LinkAnswer | None


def page_of(parts: Parts, work: Work, link: Any) -> LinkPage:
    """The page of a kept link, as it stands now."""
    now = standing_of(link, parts.today())
    shown = shows_quote(now, facts_of(link), parts.today())
    return LinkPage(
        now, link.name, link.expires_on, None if shown else SAYS[now],
        _quote(parts, work, link) if shown else None,
        _answered(link) if now in ("kept", "accepted", "declined") else None,
    )  # fmt: skip


def _answered(link: Any) -> LinkAnswer:
    return LinkAnswer(
        link.answer, link.answered_name, link.answered_at, link.purchase_order, link.reason,
        title_of(link.revision), link.revision.fingerprint,
    )  # fmt: skip


def _quote(parts: Parts, work: Work, link: Any) -> OfferedQuote:
    revision, document = link.revision, quote_document(link.revision)
    over = lots.lot(work, link.lot_id).company.second_over
    first = first_yes(work, revision) if revision.state == "sent" else None
    steps, notes = _how(parts, work, document)
    return OfferedQuote(
        number=revision.number, title=title_of(revision), document=document,
        fingerprint=revision.fingerprint, sent_at=revision.sent_at, expires_on=revision.expires_on,
        over=over if takes_two(amount_of(revision, first), over) else None,
        first_given=first is not None and first.link_id != link.id, steps=steps, notes=notes,
    )  # fmt: skip


def _how(parts: Parts, work: Work, quote: QuoteDocument) -> tuple[tuple[Step, ...], tuple[Said, ...] | None]:
    try:
        found = figures(quote.house, in_force(work, parts.today()), site_quoted(quote))
    except BadInput:
        # An edition of today may refuse what an older one took; the figures stand without their steps.
        return (), None
    # What is frozen in a quote has no cost of the office's in it; that of older ones has.
    same = without_cost(found.answer) == without_cost(quote.estimate)
    return (found.steps, found.notes) if same else ((), None)
