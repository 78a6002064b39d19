"""Quotes come to their end: a builder is reminded once before, and they lapse. The worker calls both.

The lots of a package are told of in one letter: a builder with forty of them would read no other mail.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import timedelta
from typing import Any

from portal.acts.editions import in_force, remind_days
from portal.acts.lot_state import lot_name, restage
from portal.acts.offering import quote_document, title_of
from portal.acts.parts import SYSTEM, Parts
from portal.acts.trail import mail_builder, note
from portal.core.journey import QUOTE, move, state_on
from portal.store import packages, quotes
from portal.store.quotes import Ending
from portal.store.transaction import Work

#: Lots that are held, each with its quote's revision.
Found = list[tuple[Any, Any]]


def remind(parts: Parts) -> int:
    """Remind of every sent quote that ends within the days the office has set; answers of how many.

    Quotes sent so shortly before their last day that they say as much themselves are left out.
    """
    today = parts.today()
    with parts.store.reading() as work:
        days = timedelta(days=remind_days(in_force(work, today).firm))
        rows = quotes.ending(work, today, today + days) if days else []
    due = [row for row in rows if row.expires_on - row.sent_at.astimezone(parts.zone).date() > days]
    return sum(_ended(parts, together, _remind_of, _tell_reminded) for together in _together(due))


def lapse(parts: Parts) -> int:
    """Let every sent quote lapse whose last day is over; answers how many."""
    with parts.store.reading() as work:
        rows = quotes.lapsing(work, parts.today())
    return sum(_ended(parts, together, _let_lapse, _tell_lapsed) for together in _together(rows))


def _together(rows: Iterable[Ending]) -> list[list[Ending]]:
    """A package's at once, and any other by itself: so that a person never waits for all of them."""
    found: dict[str, list[Ending]] = {}
    for row in rows:
        found.setdefault(row.package_id or row.lot_id, []).append(row)
    return list(found.values())


def _ended(
    parts: Parts, rows: list[Ending], act: Callable[[Parts, Work, Any, Any], bool],
    tell: Callable[[Parts, Work, Found], None],
) -> int:  # fmt: skip
    with parts.store.writing() as work:
        # Held before they are looked at again: somebody may just be answering, or another worker be here.
        held = {lot.id: lot for lot in packages.locked_lots(work, [row.lot_id for row in rows])}
        known = [(held[row.lot_id], quotes.revision(work, row.revision_id)) for row in rows]
        found = [(lot, revision) for lot, revision in known if act(parts, work, lot, revision)]
        if found:
            tell(parts, work, sorted(found, key=lambda one: (one[0].name, one[0].id)))
        return len(found)


def _remind_of(parts: Parts, work: Work, lot: Any, revision: Any) -> bool:
    if revision.state != "sent" or revision.reminded_at is not None:
        return False
    revision.reminded_at = work.now
    note(work, SYSTEM, "reminded", title_of(revision), lot.id)
    return True


def _let_lapse(parts: Parts, work: Work, lot: Any, revision: Any) -> bool:
    if state_on(revision.state, revision.expires_on, parts.today()) == revision.state:
        return False
    revision.state = move(QUOTE, revision.state, "lapsed")
    note(work, SYSTEM, "lapsed", title_of(revision), lot.id)
    restage(work, lot)
    return True


def _tell_reminded(parts: Parts, work: Work, found: Found) -> None:
    (lot, revision), *others = found
    if others:
        ends_on = min(one.expires_on for _lot, one in found)
        mail_builder(parts, work, "package_lapsing", lot.company_id, expires_on=ends_on,
                     **_package(parts, work, found))  # fmt: skip
        return
    mail_builder(
        parts, work, "quote_lapsing", lot.company_id, lot.id, quote=title_of(revision), lot=lot_name(lot),
        expires_on=revision.expires_on, link=parts.links.builder_lot(lot.id),
    )  # fmt: skip


def _tell_lapsed(parts: Parts, work: Work, found: Found) -> None:
    (lot, revision), *others = found
    if others:
        mail_builder(parts, work, "package_lapsed", lot.company_id, **_package(parts, work, found))
        return
    mail_builder(
        parts, work, "quote_lapsed", lot.company_id, lot.id, quote=title_of(revision), lot=lot_name(lot),
        expired_on=revision.expires_on, link=parts.links.builder_lot(lot.id),
    )  # fmt: skip


def _package(parts: Parts, work: Work, found: Found) -> dict[str, Any]:
    """What a letter says of several lots of one package."""
    lot, revision = found[0]
    package = packages.package(work, lot.package_id)
    return {
        "package": package.number, "title": package.name,
        "currency": quote_document(revision).offer.currency,
        "lots": [(lot_name(one), title_of(quote), quote.total) for one, quote in found],
        "link": parts.links.builder_package(package.id),
    }  # fmt: skip
