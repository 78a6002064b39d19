"""Parts of the post room's tests: letters as they lie in the outbox, and a clock that is set by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any

import pytest

from portal.post.smtp import Letter
from portal.store import trail
from portal.store.outbox import Outbox
from portal.store.transaction import Store, connect


@dataclass
class Clock:
    """Stands still until it is moved."""

    now: datetime = datetime(2027, 3, 9, 15, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def move(self, by: timedelta) -> None:
        self.now += by


@dataclass(frozen=True)
class PlainLetter:
    """A letter that lies in no outbox."""

    message_id: str = "<abc123@example.com>"
    to: str = "build@example.org"
    subject: str = "Quote Q-2027-0012 rev. 2"
    text: str = "The quote is ready: 32′ 6″.\n"
    html: str = "<p>The quote is ready: 32′ 6″.</p>\n"
    unsubscribe: str = ""


@dataclass
class Post:
    """An outbox on a real database, and what was put in."""

    store: Store
    clock: Clock
    outbox: Outbox

    def put(self, number: int = 1, **changed: Any) -> list[str]:
        """Put so many letters in; answers their message ids."""
        letter = replace(PlainLetter(), **changed)
        with self.store.writing() as work:
            rows = [
                trail.add_letter(
                    work,
                    to=letter.to,
                    subject=letter.subject,
                    text=letter.text,
                    html=letter.html,
                    domain="example.com",
                    lot_id=None,
                    unsubscribe=letter.unsubscribe,
                )
                for _ in range(number)
            ]
            return [row.message_id for row in rows]

    def row(self, message_id: str) -> Any:
        """A letter as it lies in the database now."""
        with self.store.reading() as work:
            return next(row for row in trail.letters(work) if row.message_id == message_id)


@dataclass
class Kept:
    """A way out that keeps what it takes. `trouble` is raised, before or after it has taken the letter."""

    taken: list[str] = field(default_factory=list)
    trouble: BaseException | None = None
    after: bool = False

    def send(self, letter: Letter, now: datetime) -> None:
        if self.trouble is not None and not self.after:
            raise self.trouble
        self.taken.append(letter.message_id)
        if self.trouble is not None:
            raise self.trouble


@pytest.fixture
def post(store_url: str) -> Iterator[Post]:
    """An empty outbox, once on SQLite and once on PostgreSQL."""
    clock, numbers = Clock(), count(1)
    engine = connect(store_url)
    store = Store(engine, clock, lambda: f"letter{next(numbers):014d}")
    yield Post(store, clock, Outbox(store))
    engine.dispose()
