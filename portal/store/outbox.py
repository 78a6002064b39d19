"""The outbox as the post room sees it: claim a letter, then say what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from portal.store import trail
from portal.store.transaction import Store


@dataclass(frozen=True, slots=True)
class ClaimedLetter:
    """A mail to be sent now. `tries` counts this one."""

    id: str
    message_id: str
    to: str
    subject: str
    text: str
    html: str
    tries: int
    unsubscribe: str = ""


class Outbox:
    """Letters that an act left behind, to be sent after its transaction was committed."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def claim(self, hold: timedelta) -> ClaimedLetter | None:
        """The next letter that is due, or None. Nobody else is given it before `hold` has passed.

        The claim is committed before the letter is sent: whoever dies over it
        leaves it to be tried again, under the same message id.
        """
        with self._store.writing() as work:
            for row in trail.letters_due(work, limit=1):
                row.tries += 1
                row.next_try_at = work.now + hold
                return ClaimedLetter(
                    row.id,
                    row.message_id,
                    row.to,
                    row.subject,
                    row.text,
                    row.html,
                    row.tries,
                    row.unsubscribe,
                )
        return None

    def sent(self, letter_id: str) -> None:
        """The letter is on its way."""
        with self._store.writing() as work:
            row = trail.letter_if_kept(work, letter_id)
            if row is None:
                return  # withdrawn while it was on its way: its reader has left
            row.sent_at, row.trouble = row.sent_at or work.now, ""

    def failed(self, letter_id: str, trouble: str, wait: timedelta) -> None:
        """The letter could not be sent: keep why, and let it be tried again after `wait`."""
        with self._store.writing() as work:
            row = trail.letter_if_kept(work, letter_id)
            if row is not None and row.sent_at is None:
                row.trouble, row.next_try_at = trouble, work.now + wait
