"""What changed between two revisions, as somebody finds out on a phone, without script."""

from __future__ import annotations

import pytest

from tests.journeys.conftest import Come
from tests.parts.browser import DESK, PHONE
from tests.parts.demo import Demo

pytestmark = pytest.mark.journey


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_builder_reads_what_changed_and_opens_the_older_one_beside_it(
    demo: Demo, come: Come, size: dict[str, int]
) -> None:
    page = come("Harriet", viewport=size, java_script_enabled=False)
    page.goto(f"/lots/{demo.lot(7)}/quote")

    page.get_by_role("link", name="What changed").click()
    part = page.get_by_role("region", name="What changed from revision 1 to revision 2")
    said = part.inner_text()
    assert "siding" in said and "Interior walls, Typical floor" in said
    assert part.get_by_role("table", name="What changed in the price").is_visible()
    side_by_side = part.get_by_role("table", name="Side by side")
    assert not side_by_side.is_visible()
    part.get_by_text("Both revisions side by side, line by line").focus()
    page.keyboard.press("Enter")
    assert side_by_side.is_visible()

    page.get_by_role("link", name="1, superseded").click()
    older = page.get_by_role("region", name="What changed from revision 1 to revision 2")
    assert older.inner_text().splitlines()[0] == said.splitlines()[0]
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
