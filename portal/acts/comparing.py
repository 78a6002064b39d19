"""Two revisions of a quote side by side: what changed, and what each change comes to."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from portal.acts.offering import quote_document
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.sheet import RevisionView
from portal.core.documents import QuoteDocument
from portal.core.documents.reworded import Rewording, reworded
from portal.core.pricing.agreement import site_quoted
from portal.core.pricing.change import Change, Version
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.revised import explained, grouped
from portal.core.pricing.site import rates_at
from portal.store import quotes
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Sum:
    """The difference in a line: to what the older revision came, and by groups what the newer adds to it.

    `words` tells whether anything reads otherwise. None is made where the currency changed.
    """

    number: int
    before: Decimal
    difference: Decimal
    groups: dict[str, Decimal]
    words: bool


@dataclass(frozen=True, slots=True)
class Compared:
    """An older revision and a newer one. What `changes` come to adds up to the difference of their totals."""

    old: QuoteDocument
    new: QuoteDocument
    changes: tuple[Change, ...]
    words: tuple[Rewording, ...]

    @property
    def sum(self) -> Sum | None:
        """The difference in a line."""
        was, now = self.old.offer, self.new.offer
        if was.currency != now.currency:
            return None
        groups = grouped(self.changes)
        return Sum(self.old.revision, was.total, now.total - was.total, groups, bool(self.words))


def compared(work: Work, old: QuoteDocument, new: QuoteDocument) -> Compared:
    """Compare two documents of one quote, each by the rates of its own edition."""
    changes = explained(Version(old, _rates(work, old)), Version(new, _rates(work, new)))
    return Compared(old, new, changes, reworded(old, new))


def _rates(work: Work, document: QuoteDocument) -> Rates:
    # The database refuses to change or drop an edition, so its number says as much as a copy would.
    book = read_rates(quotes.edition_numbered(work, "rates", document.rate_edition).document)
    return rates_at(book, site_quoted(document))


def since_last_sent(work: Work, revision: Any, document: QuoteDocument) -> Sum | None:
    """What a revision about to be sent changes from the one that was sent last, where one was."""
    rows = quotes.revisions(work, revision.quote_id)
    before = next((row for row in rows if row.number < revision.number and row.document is not None), None)
    return compared(work, quote_document(before), document).sum if before else None


def side_by_side(parts: Parts, who: Actor, one: RevisionView, other: RevisionView) -> Compared:
    """Two revisions of a sheet that this person was shown, the older first."""
    must_be(who, "builder", "office")
    old, new = sorted((one, other), key=lambda revision: revision.number)
    assert old.document is not None and new.document is not None
    with parts.store.reading() as work:
        return compared(work, old.document, new.document)
