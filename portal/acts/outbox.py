"""The letters of the outbox, to be read in the demo, where one person plays everybody."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.parts import Parts
from portal.core.errors import NotFound
from portal.store import trail


@dataclass(frozen=True, slots=True)
class LetterView:
    """A mail as it would arrive."""

    id: str
    to: str
    subject: str
    text: str
    written_at: datetime
    sent_at: datetime | None


def _view(row: Any) -> LetterView:
    return LetterView(row.id, row.to, row.subject, row.text, row.written_at, row.sent_at)


def letters(parts: Parts) -> list[LetterView]:
    """In the demo only: the newest mails."""
    if not parts.demo:
        raise NotFound("page")
    with parts.store.reading() as work:
        return [_view(row) for row in trail.letters(work)]


def letter(parts: Parts, letter_id: str) -> LetterView:
    """In the demo only: one mail."""
    if not parts.demo:
        raise NotFound("page")
    with parts.store.reading() as work:
        return _view(trail.letter(work, letter_id))
