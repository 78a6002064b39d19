"""Sends what the outbox holds, and does what is due day by day.

A letter is claimed in a committed transaction, sent, and then marked sent. A
crash between the two sends it again under the same message id, so that the
receiving side can tell; a crash before loses nothing. Two workers never hold
one letter at a time, as long as sending takes less than `HOLD`.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import Protocol

from portal.post.smtp import Letter, Transport

log = logging.getLogger("sillbook.post")

#: How long a claimed letter is kept from others; a transport must have given up long before.
HOLD = timedelta(minutes=10)
FIRST_WAIT, LONGEST_WAIT = timedelta(minutes=1), timedelta(hours=6)
#: How long the worker sleeps between two looks at the outbox, in seconds.
PAUSE = 5.0


class Claimed(Letter, Protocol):
    """A letter that is this worker's to send. `tries` counts this one."""

    @property
    def id(self) -> str: ...
    @property
    def tries(self) -> int: ...


class Outbox(Protocol):
    """Where letters wait; each call is a transaction of its own."""

    def claim(self, hold: timedelta) -> Claimed | None: ...
    def sent(self, letter_id: str) -> None: ...
    def failed(self, letter_id: str, trouble: str, wait: timedelta) -> None: ...


def wait_after(tries: int) -> timedelta:
    """How long to wait after so many tries: a minute, then twice as long each time, at most six hours."""
    doublings = min(tries - 1, 20)
    return min(FIRST_WAIT * (1 << doublings), LONGEST_WAIT)


def send_due(outbox: Outbox, transport: Transport, now: Callable[[], datetime], most: int = 100) -> int:
    """Send the letters that are due, at most so many; answers how many went out."""
    gone = 0
    for _ in range(most):
        letter = outbox.claim(HOLD)
        if letter is None:
            break
        try:
            transport.send(letter, now())
        except Exception as trouble:
            # Whatever it was, the letter stays, with its reason, and the next one gets its turn.
            wait = wait_after(letter.tries)
            log.warning("letter %s not sent, try %d, again in %s: %s", letter.id, letter.tries, wait, trouble)
            outbox.failed(letter.id, f"{type(trouble).__name__}: {trouble}"[:1000], wait)
        else:
            outbox.sent(letter.id)
            gone += 1
    return gone


class Worker(threading.Thread):
    """A thread that looks at the outbox every few seconds, and calls acts that nobody has to ask for.

    `always` are called at every look; the daily ones once an hour: a day begins when it does where the
    office is, and each of them knows by itself what is due.
    """

    def __init__(
        self,
        outbox: Outbox,
        transport: Transport,
        now: Callable[[], datetime],
        daily: Sequence[Callable[[], object]] = (),
        always: Sequence[Callable[[], object]] = (),
        pause: float = PAUSE,
    ) -> None:
        super().__init__(name="sillbook-worker", daemon=True)
        self._outbox, self._transport, self._now = outbox, transport, now
        self._daily, self._always, self._pause = daily, always, pause
        self._done: dict[int, datetime] = {}
        self._over = threading.Event()

    def run(self) -> None:
        """Until stopped. What goes wrong is logged, and tried again at the next turn."""
        while not self._over.is_set():
            self.turn()
            self._over.wait(self._pause)

    def turn(self) -> None:
        """One look: the daily acts still to be done today, what is always looked for, then the outbox."""
        for number, act in enumerate(self._daily):
            self._guarded(partial(self._once_an_hour, number, act))
        for act in self._always:
            self._guarded(act)
        self._guarded(partial(send_due, self._outbox, self._transport, self._now))

    def stop(self, timeout: float = 40.0) -> None:
        """Let the letter in hand be finished, then end. Seconds to wait for that."""
        self._over.set()
        if self.is_alive():
            self.join(timeout)

    def _once_an_hour(self, number: int, act: Callable[[], object]) -> None:
        hour = self._now().replace(minute=0, second=0, microsecond=0)
        if self._done.get(number) != hour:
            act()
            self._done[number] = hour

    def _guarded(self, act: Callable[[], object]) -> None:
        try:
            act()
        except Exception:
            log.exception("the worker met trouble and goes on")
