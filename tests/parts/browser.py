"""Debian's Chromium, driven without a screen, for the tests marked `journey`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from seed_demo.start.native import find_browser

# No sandbox, because as root there is none; and no name resolves but this machine's.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]
DESK = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for the whole run; `visitor` and `page` open what a test sees of it."""
    program = find_browser()
    assert program, "no Chromium: python3 -m tests finds or installs one, or says how"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def visitor(chromium: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Opens a visitor with cookies of their own: two calls are two people. Options as for new_context."""
    opened: list[BrowserContext] = []

    def arrive(**options: Any) -> BrowserContext:
        options = {"viewport": DESK, "locale": "en-US", "timezone_id": "America/New_York", **options}
        context = chromium.new_context(**options)
        context.set_default_timeout(15_000)
        opened.append(context)
        return context

    yield arrive
    for context in opened:
        context.close()


@pytest.fixture
def page(visitor: Callable[..., BrowserContext]) -> Page:
    """A blank page of one visitor at a desk, with JavaScript on."""
    return visitor().new_page()
