"""What the start says while it works: short lines, flushed at once, and one kind of error."""

from __future__ import annotations

import sys


class CannotStart(Exception):
    """The start cannot go on; the text is one or two plain lines that say what to do."""


def tell(line: str) -> None:
    """Print one line now, so that nobody watches a silent screen."""
    print(line, flush=True)


class Count:
    """A count that moves in place on a screen, and as a line now and then in a log."""

    def __init__(self, what: str, total: int, every: int = 10) -> None:
        self.what, self.total, self.every, self.done = what, total, every, 0
        self.screen = sys.stdout.isatty()

    def step(self, name: str) -> None:
        """One more is under way; `name` says which."""
        self.done += 1
        if self.screen:
            print(f"\r\033[K  {self.what} {self.done} of {self.total}: {name}", end="", flush=True)
        elif self.done == 1 or self.done % self.every == 0 or self.done == self.total:
            tell(f"  {self.what} {self.done} of {self.total}: {name}")

    def end(self) -> None:
        """Leave the line, so that the next thing said stands on its own."""
        if self.screen and self.done:
            print(flush=True)
