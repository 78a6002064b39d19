"""What the journeys share: somebody at a browser, the demo served, a page that is watched."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.parts.demo import Demo

Come = Callable[..., Page]


def watched(page: Page) -> list[str]:
    """Everything the browser complains about on this page from now on: errors, blocked styles, lost files.

    What it gives up itself, because the page is left, is no complaint.
    """
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("requestfailed", lambda lost: said.append(f"{lost.url}: {lost.failure}")
            if lost.failure != "net::ERR_ABORTED" else None)  # fmt: skip
    return said


@pytest.fixture
def served_demo(demo: Demo, serve: Callable[[Any], str]) -> str:
    """The address of a copy of the demo."""
    return serve(demo.app())


@pytest.fixture
def come(visitor: Callable[..., BrowserContext], served_demo: str) -> Come:
    """`come("Harriet")`: a page on which somebody of the demo is signed in; without a name, nobody is."""

    def arrive(name: str = "", **options: Any) -> Page:
        page = visitor(base_url=served_demo, **options).new_page()
        page.goto("/sign-in")
        if name:
            page.get_by_role("button", name=f"Come in as {name}").click()
            page.get_by_role("button", name="Sign out").wait_for()
        return page

    return arrive
