"""A record goes back to its technician, is signed off and amended; all who have it read the further pages."""

from __future__ import annotations

import pytest

from tests.journeys.conftest import Come
from tests.journeys.people import labelled
from tests.parts.browser import PHONE
from tests.parts.demo import Demo
from tests.parts.pdf import bare, text_of

pytestmark = pytest.mark.journey


def test_a_record_is_sent_back_explained_signed_off_and_amended(demo: Demo, come: Come) -> None:
    lot = demo.lot(4)
    office = come("Odile")
    office.goto(f"/office/lots/{lot}/treatment")
    back = office.get_by_role("form", name="Send it back")
    labelled(back, "Reason").fill("Was the water really as much?")
    back.get_by_role("button", name="Send the record back").click()
    office.get_by_text("waits for a page of its technician").wait_for()

    field = come("Rosa", viewport=PHONE, java_script_enabled=False)
    field.goto("/stops")
    field.get_by_role("region", name="Records the office sent back").get_by_role("link").click()
    labelled(field, "What it is about").select_option(label="Amounts mixed and applied")
    labelled(field, "What the record says").fill("5.00 gal of water")
    labelled(field, "What is right").fill("4.50 gal of water")
    field.get_by_role("button", name="Add this page to the record").click()
    assert field.get_by_text("Write why.").first.is_visible()
    labelled(field, "Why").fill("Half a gallon stayed in the jug.")
    field.get_by_role("button", name="Add this page to the record").click()
    field.get_by_text("The page is added to the record").wait_for()

    office.reload()
    assert office.get_by_text("4.50 gal of water").is_visible()
    office.get_by_role("button", name="Sign the record off").click()
    amend = office.get_by_role("form", name="Amend the record")
    labelled(amend, "What it is about").select_option(label="Product or registration number")
    for label, text in (
        ("What the record says", "Container 1"),
        ("What is right", "Container 2"),
        ("Why", "Seen."),
    ):
        labelled(amend, label).fill(text)
    amend.get_by_role("button", name="Add this page").click()
    office.get_by_text("The page is added. The record before it stays as it was.").wait_for()

    content = office.request.get(f"/office/lots/{lot}/papers/treatment-record").body()
    said = bare(text_of(content))
    for page, words in ((1, "Was the water really as much?"), (2, "4.50 gal of water"), (3, "Container 2")):
        assert bare(f"Page {page}:") in said and bare(words) in said
    home = come()
    home.goto(demo.record(4))
    assert home.get_by_text("Right is: Container 2").is_visible()
    assert not home.get_by_text("4.50 gal").is_visible()
