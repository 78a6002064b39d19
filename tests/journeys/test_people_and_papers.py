"""A builder's people and papers at a browser: invited, changed, removed; a ZIP with the very papers in it."""

from __future__ import annotations

import csv
import hashlib
import io
import re
import zipfile
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from portal.acts import outbox, people
from tests.journeys.conftest import Come
from tests.journeys.looking import complaints
from tests.journeys.people import enter
from tests.parts.browser import DESK, PHONE
from tests.parts.demo import Demo

pytestmark = [pytest.mark.journey, pytest.mark.timeout(300)]

NEW = "una@harrowfinch.example.com"


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_somebody_is_invited_joins_is_given_a_right_and_removed(
    demo: Demo, come: Come, size: dict[str, int]
) -> None:
    harriet, una = come("Harriet", viewport=size), come("", viewport=size)
    harriet.get_by_role("link", name="Harriet Finch").click()
    enter(harriet, Name="Una Cray")
    harriet.get_by_label("Mail address", exact=True).fill(NEW)
    harriet.get_by_role("button", name="Send the invitation").click()
    expect(harriet.get_by_role("status")).to_contain_text(f"An invitation is on its way to {NEW}.")
    expect(harriet.get_by_role("row", name=re.compile("Una Cray"))).to_contain_text("invited")

    joins(demo, una)
    una.goto(f"/lots/{demo.lot(7)}/quote")
    expect(una.locator("#answer")).to_contain_text("Answering quotes is not among your rights. Ask Gil Otter")
    una.goto(f"/lots/{demo.lot(3)}/invoice")
    expect(una.locator("#main")).to_contain_text("What is billed, paid and owed is not yours to see here.")
    assert "$" not in una.locator("#main").inner_text()

    open_person(harriet)
    harriet.get_by_label("Sees money").check()
    harriet.get_by_role("button", name="Keep these rights").click()
    expect(harriet.get_by_role("row", name=re.compile("Una Cray"))).to_contain_text("sees money")
    una.reload()
    expect(una.locator("#main")).to_contain_text("Still open")

    open_person(harriet)
    harriet.get_by_role("link", name="Remove Una Cray").click()
    assert complaints(harriet) == []
    harriet.get_by_role("link", name="No, go back").click()
    open_person(harriet)
    harriet.get_by_role("link", name="Remove Una Cray").click()
    harriet.get_by_role("button", name="Yes, remove Una Cray").click()
    expect(harriet.get_by_role("status")).to_contain_text("Una Cray is out. The name stays in the record.")
    expect(harriet.get_by_role("table", name="Who left")).to_contain_text("Una Cray")
    una.reload()
    assert urlsplit(una.url).path == "/sign-in"


def joins(demo: Demo, page: Page) -> None:
    """The invited opens the letter's link and chooses a password."""
    letter = next(one for one in outbox.letters(demo.parts) if one.to == NEW)
    link = re.search(rf"{re.escape(demo.settings.base_url)}\S+", letter.text)
    assert link
    page.goto(urlsplit(link[0]).path)
    enter(page, New_password="plates and studs")
    page.get_by_role("button", name="Keep it and come in").click()
    assert people.actor_by_email(demo.parts, NEW).rights == frozenset()


def open_person(page: Page) -> None:
    """From the list to Una's own page."""
    page.goto("/people")
    page.get_by_role("link", name="Una Cray").click()


def test_a_zip_that_the_browser_saves_holds_the_very_papers(come: Come, tmp_path: Path) -> None:
    page = come("Harriet")
    page.goto("/papers")
    links = [one.get_attribute("href") or "" for one in page.get_by_role("link").all()]
    singles = [page.context.request.get(link).body() for link in links
               if re.search("/papers?/", link) and not link.endswith("/papers/payments")]  # fmt: skip

    with page.expect_download(timeout=120_000) as waiting:
        page.get_by_role("link", name="papers below as one ZIP").click()
    waiting.value.save_as(tmp_path / "papers.zip")

    assert waiting.value.suggested_filename == "papers.zip"
    with zipfile.ZipFile(tmp_path / "papers.zip") as archive:
        assert archive.testzip() is None
        files = {name: archive.read(name) for name in archive.namelist()}
    index = list(csv.DictReader(io.StringIO(files.pop("index.csv").decode("utf-8-sig"))))
    assert all(content.startswith(b"%PDF") for content in files.values())
    assert sorted(files.values()) == sorted(singles) and len(singles) > 20
    assert {row["file"]: row["sha256"] for row in index} == {
        name: hashlib.sha256(content).hexdigest() for name, content in files.items()
    }
    assert any(re.fullmatch(r"Quarry Bend/Lot 7/quote-Q-\d{4}-\d{4}-rev-1\.pdf", name) for name in files)
