"""What the office looks up in the books, and what a bookkeeper takes away from them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from portal.acts.parts import Actor, Parts, must_be
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.money.books import Posted, TrialBalance, in_order, trial_balance
from portal.core.money.ledger import ZERO
from portal.core.money.plain_text import plain_text
from portal.core.words import say
from portal.store import ledger, quotes
from portal.store.transaction import Work

PAGE = 100


@dataclass(frozen=True, slots=True)
class Closed:
    """A month that is closed: its last day, who closed it and when, and the fingerprint that was kept."""

    through: date
    by: str
    at: datetime
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Books:
    """A trial balance, and the closed months, newest first. `first` is the first day of the books."""

    trial: TrialBalance
    closed: tuple[Closed, ...]
    first: date | None


@dataclass(frozen=True, slots=True)
class Moved:
    """A posting on an account's page, with what the account came to after it."""

    posted: Posted
    balance: Decimal


@dataclass(frozen=True, slots=True)
class AccountPage:
    """What was posted to an account in a span of days. `before` and `after` are balances at its two ends.

    `more` is the offset of the next page, or None on the last.
    """

    account: str
    since: date
    until: date
    before: Decimal
    rows: tuple[Moved, ...]
    after: Decimal
    more: int | None


@dataclass(frozen=True, slots=True)
class TaxRow:
    """Tax owed to a jurisdiction: before a span of days, what was billed and taken back in it, after it."""

    account: str
    before: Decimal
    billed: Decimal
    taken_back: Decimal

    @property
    def after(self) -> Decimal:
        """What is owed at the end of the span."""
        return self.before + self.billed - self.taken_back


def look(parts: Parts, who: Actor, day: date | None = None) -> Books:
    """The books as they stood at the end of a day; of today, unless another is asked for."""
    must_be(who, "office")
    with parts.store.reading() as work:
        trial = _trial(work, day or parts.today())
        closed = tuple(
            Closed(row.through, row.closed_by, row.closed_at, row.fingerprint)
            for row in ledger.closed_months(work)
        )
        return Books(trial, closed, ledger.first_day(work))


def _trial(work: Work, day: date) -> TrialBalance:
    return trial_balance(day, ledger.balances(work, day))


def span(since: date | None, until: date | None, today: date) -> tuple[date, date]:
    """A span of days as asked for; by itself this month so far. Raises `BadInput`."""
    last = until or today
    first = since or last.replace(day=1)
    if first > last:
        raise BadInput([Problem("until", say("{until} is before {since}.", until=last, since=first))])
    return first, last


def account(
    parts: Parts, who: Actor, name: str, since: date | None = None, until: date | None = None, offset: int = 0
) -> AccountPage:
    """What was posted to an account in a span of days, a page of it. Raises `NotFound`, `BadInput`."""
    must_be(who, "office")
    first, last = span(since, until, parts.today())
    with parts.store.reading() as work:
        if name not in dict(ledger.first_used(work)):
            raise NotFound("account", name)
        before = balance = ledger.balance_before(work, name, first)
        which = {"account": name, "since": first, "until": last}
        # The pages before this one are read again only for what they add up to.
        balance += sum((row.amount for row in _rows(work, which, offset)), ZERO) if offset else ZERO
        found, rows = list(_rows(work, which, PAGE + 1, offset)), []
        for row in found[:PAGE]:
            balance += row.amount
            rows.append(Moved(row, balance))
        more = offset + PAGE if len(found) > PAGE else None
        return AccountPage(name, first, last, before, tuple(rows), balance, more)


def _rows(work: Work, which: dict[str, object], limit: int, offset: int = 0) -> Iterator[Posted]:
    yield from ledger.posted(work, **which, limit=limit, offset=offset)  # type: ignore[arg-type]


def entry(parts: Parts, who: Actor, seq: int) -> tuple[Posted, ...]:
    """An entry with all of its postings. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        found = tuple(ledger.posted(work, entry=seq))
    if not found:
        raise NotFound("entry", seq)
    return found


def tax_owed(
    parts: Parts, who: Actor, since: date | None = None, until: date | None = None
) -> tuple[date, date, tuple[TaxRow, ...]]:
    """What tax is owed to each jurisdiction in a span of days, with the two days. Raises `BadInput`.

    What was paid over to a jurisdiction is not in these books: they are those of money that comes in.
    """
    must_be(who, "office")
    first, last = span(since, until, parts.today())
    with parts.store.reading() as work:
        found = ledger.by_side(work, "tax", first, last)
    rows = (TaxRow(name, *found[name]) for name in sorted(found, key=in_order))
    return first, last, tuple(rows)


def entries(parts: Parts, who: Actor, since: date, until: date) -> tuple[Posted, ...]:
    """Every posting of a span of days with its entry, to take away."""
    must_be(who, "office")
    span(since, until, parts.today())
    with parts.store.reading() as work:
        return tuple(ledger.posted(work, since=since, until=until))


def plain_file(parts: Parts, who: Actor, through: date) -> str:
    """All entries through a day as a plain-text double-entry file, in the currency of the rate book."""
    must_be(who, "office")
    with parts.store.reading() as work:
        firm = quotes.edition_on(work, "firm", parts.today()).document
        currency = quotes.edition_on(work, "rates", parts.today()).document.get("currency", "USD")
        lines = plain_text(
            firm["name"], currency, through, ledger.first_used(work), ledger.posted(work, until=through),
            ledger.balances(work, through),
        )  # fmt: skip
        return "".join(f"{line}\n" for line in lines)
