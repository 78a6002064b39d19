"""Somebody at a browser, in the words of what they do: fills fields by their labels, presses what it says."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, Locator, Page, expect

from portal.store.tables import Letter
from tests.parts.house import PASSWORD, House

OPTIONAL = r"( \(optional\))?"


def labelled(within: Page | Locator, label: str) -> Locator:
    """The field of a label; that it may stay empty is no part of its name."""
    return within.get_by_label(re.compile(f"^{re.escape(label)}{OPTIONAL}$"))


def enter(within: Page | Locator, **values: str) -> None:
    """Fill fields: House_number="112" goes into the field labelled House number."""
    for label, text in values.items():
        labelled(within, label.replace("_", " ")).fill(text)


def open_full_form(page: Page) -> None:
    """From the short way in to the whole takeoff form, with interior walls that are measured."""
    page.get_by_role("button", name="Any other house: open the full form").click()
    inside = page.get_by_role("group", name="How are the interior walls given?")
    inside.get_by_label("Measured length").check()


@dataclass(frozen=True)
class Visitor:
    """One person with a browser of their own, at the portal of a house."""

    page: Page
    house: House

    def sign_in(self, email: str, password: str = PASSWORD) -> None:
        """Through the form."""
        self.page.goto("/sign-in")
        enter(self.page, Mail_address=email, Password=password)
        self.press("Sign in")

    def press(self, words: str, within: Page | Locator | None = None) -> None:
        """Press the button of these words."""
        (within or self.page).get_by_role("button", name=words, exact=True).first.click()

    def follow(self, words: str | re.Pattern[str]) -> None:
        """Follow the link of these words."""
        exact = isinstance(words, str)
        self.page.get_by_role("link", name=words, exact=exact).first.click()

    def sees(self, *words: str) -> None:
        """All of these stand on the page."""
        for one in words:
            found = self.page.locator("body").filter(has_text=one)
            try:
                expect(found).to_have_count(1)
            except AssertionError:
                raise AssertionError(f"“{one}” is not on {self.page.url}: {self.says()}") from None

    def says(self) -> str:
        """All that the page says, with single spaces."""
        return " ".join(self.page.locator("body").inner_text().split())

    def heading(self) -> str:
        """The page's own."""
        return self.page.locator("h1").inner_text()

    def open_letter(self, to: str, subject: str) -> str:
        """Open the link of the newest letter to somebody whose subject has this word; the letter's text."""
        with self.house.parts.store.reading() as work:
            found = [row.text for row in work.session.query(Letter).order_by(Letter.written_at)
                     if row.to == to and subject in row.subject]  # fmt: skip
        assert found, f"no letter to {to} about {subject}"
        self.go_to(found[-1])
        return found[-1]

    def go_to(self, text: str) -> None:
        """Open the first link of ours within a text, as if the portal had its own name here."""
        base = re.escape(self.house.settings.base_url)
        match = re.search(rf"{base}[^\s>]+", text)
        assert match, text
        self.page.goto(urlsplit(match[0]).path)

    def paper(self, words: str | re.Pattern[str]) -> bytes:
        """The PDF that a link leads to."""
        address = self.page.get_by_role("link", name=words).first.get_attribute("href")
        assert address
        answer = self.page.context.request.get(address)
        assert answer.ok and answer.headers["content-type"] == "application/pdf"
        return answer.body()


Arrive = Callable[..., Visitor]


def at_the_portal(house: House, base: str, visitor: Callable[..., BrowserContext]) -> Arrive:
    """`arrive("harriet")`: somebody of the house, signed in, at a browser of their own; "" for nobody."""

    def arrive(name: str = "", **options: Any) -> Visitor:
        one = Visitor(visitor(base_url=base, **options).new_page(), house)
        if name:
            one.sign_in(f"{name}@example.com")
        return one

    return arrive
