"""500 lots from a sheet at a browser with scripts off, on a phone's width: 463 asked for, 37 returned."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, expect

from portal import create_app
from portal.core.sheets.table import read_table
from portal.store.tables import Lot
from tests.journeys.people import Visitor
from tests.parts.browser import PHONE
from tests.parts.house import House
from tests.parts.sheets import FAULTS, add_alder, big_sheet

pytestmark = [pytest.mark.journey, pytest.mark.timeout(240)]


@pytest.fixture
def harriet(lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext]) -> Visitor:
    """The builder, with a phone that runs no scripts."""
    add_alder(lite)
    address = serve(create_app(lite.settings, lite.parts))
    page = visitor(base_url=address, viewport=PHONE, java_script_enabled=False).new_page()
    found = Visitor(page, lite)
    found.sign_in("harriet@example.com")
    return found


def send(harriet: Visitor, file: Path) -> None:
    harriet.follow("Our lots")
    harriet.follow("Many lots at once")
    harriet.page.get_by_label("A CSV file").set_input_files(file)
    harriet.press("Read it")


def test_500_lots_from_a_phone_without_scripts(harriet: Visitor, tmp_path: Path) -> None:
    file = tmp_path / "Tamarack Ford.csv"
    file.write_bytes(big_sheet()[0])

    send(harriet, file)
    harriet.sees("To ask for", "463", "37")
    assert harriet.heading() == "Tamarack Ford"
    harriet.press("Ask for these 463 prices")
    # The page comes again by itself until it is done; nobody presses anything.
    expect(harriet.page.get_by_role("heading", name="Asked for 463 lots")).to_be_visible(timeout=60_000)
    with harriet.page.expect_download() as coming:
        harriet.follow("Download the 37 rows to mend")
    returned = coming.value.path().read_bytes()

    assert len(read_table(returned).records) == FAULTS
    assert harriet.house.rows(Lot) == 463

    send(harriet, file)
    harriet.sees("There is no row here that a price could be asked for.", "463")
    harriet.follow("entered before 463")
    harriet.follow("Lot 1, 1 Sluice Road")
    assert harriet.page.url.rpartition("/lots/")[2]
    assert harriet.house.rows(Lot) == 463


def test_a_sheet_is_sent_by_keyboard_alone(harriet: Visitor) -> None:
    page = harriet.page
    page.goto("/many")
    page.get_by_label("Or paste the rows").focus()
    page.keyboard.insert_text(
        "Lot\tAddress\tTown\tState\tZIP code\tFoundation\tWidth\tDepth\tSiding\n"
        "Lot 1\t1 Weir Road\tMarlow Ferry\tIA\t52999\tslab\t57'\t27' 0\"\topen\n"
    )
    page.keyboard.press("Tab")
    page.keyboard.insert_text("By hand")
    page.keyboard.press("Enter")

    harriet.sees("By hand", "inside estimated")
    page.keyboard.press("Tab")
    assert harriet.page.locator("main").inner_text().count("Lot 1") == 1
