"""Somebody with a keyboard alone, and how long an average hand would take: the Keystroke-Level Model.

Card, Moran and Newell, "The keystroke-level model for user performance time with interactive systems",
Communications of the ACM 23 (1980): a key 0.28 s for an average typist who is no typist by trade, and 1.35 s
to make up one's mind before each new thing (both from memory). The pages' answers are timed as they come.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from playwright.sync_api import Page

KEY, MIND = 0.28, 1.35

#: What the focus is on, by its label or its words, without what helps to understand it.
FOCUSED = """() => {
  const one = document.activeElement;
  if (one === document.body) return '';
  const label = one.labels?.length ? one.labels[0] : null;
  const words = (label?.querySelector('.tick__help') ? label.querySelector('span').firstChild.textContent
    : label?.innerText) ?? one.ariaLabel ?? one.innerText;
  return words.replace(/\\s+/g, ' ').replace(' (optional)', '').trim();
}"""


@dataclass
class Hands:
    """Keys pressed and things decided on a page. A page's own time counts from a press to its answer."""

    page: Page
    keys: int = 0
    decisions: int = 0
    waited: float = 0.0
    passed: list[str] = field(default_factory=list)

    @property
    def seconds(self) -> float:
        """How long it would have taken."""
        return self.keys * KEY + self.decisions * MIND + self.waited

    def press(self, key: str) -> None:
        """One key, or a chord."""
        self.keys += 1
        self.page.keyboard.press(key)

    def type(self, text: str) -> None:
        """Text, over what is in the field."""
        self.keys += len(text)
        self.page.keyboard.type(text)

    def to(self, words: str) -> None:
        """Tab on to the field or button of these words: a decision, and a key for every stop on the way."""
        self.decisions += 1
        for _stop in range(60):
            self.press("Tab")
            focused = self.page.evaluate(FOCUSED)
            self.passed.append(focused)
            if focused == words or focused.startswith(f"{words}: "):
                return
        raise AssertionError(f"no {words} to tab to: {self.passed[-60:]}")

    def fill(self, **values: str) -> None:
        """Fields in the order they come: House_number="12"."""
        for label, text in values.items():
            self.to(label.replace("_", " "))
            self.type(text)

    def go(self, key: str = "Enter") -> None:
        """Press what leads to another page, and wait for it."""
        began = time.monotonic()
        with self.page.expect_navigation():
            self.press(key)
        self.waited += time.monotonic() - began
