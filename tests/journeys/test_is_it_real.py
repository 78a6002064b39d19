"""A certificate in strange hands: checked, its link revoked, its warranty made void with a reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.journeys.conftest import Come, watched
from tests.parts.demo import Demo

pytestmark = [pytest.mark.journey, pytest.mark.timeout(180)]

STOLEN, CUT = "The certificate was stolen.", "Framing was cut and not treated again."


def test_a_certificate_is_checked_replaced_and_void(come: Come, demo: Demo, tmp_path: Path) -> None:
    stranger, owner = come(), come("Odile")
    said = watched(stranger)
    path, sheet = demo.record(1), f"/office/lots/{demo.lot(1)}/warranty"
    stranger.goto(path)
    stranger.get_by_text("What happened").wait_for()
    assert stranger.get_by_role("img", name="Plan of Main floor").first.is_visible()
    file = tmp_path / "certificate.pdf"
    file.write_bytes(stranger.request.get(f"{path}/certificate.pdf").body())

    def check(found: str, today: str) -> None:
        stranger.goto("/warranty/is-it-real")
        stranger.get_by_label("The certificate as a PDF").set_input_files(file)
        stranger.get_by_role("button", name="Check it").click()
        status = stranger.get_by_role("status")
        status.get_by_text(found).wait_for()
        assert today in status.inner_text()

    check("This PDF is a certificate of this office, unchanged.", "in force")

    owner.goto(sheet)
    form = owner.locator("form", has_text="Revoke its link")
    form.get_by_label("Reason").fill(STOLEN)
    form.get_by_role("button", name="Revoke the link").click()
    owner.get_by_text("The old link opens nothing any more.").wait_for()
    assert stranger.request.get(path).status == 404
    check("A newer certificate has taken its place", "in force")

    form = owner.locator("form", has_text="Make it void")
    form.get_by_label("Reason").fill(CUT)
    form.get_by_role("button", name="Go on to make it void").click()
    owner.get_by_role("button", name="Make it void").click()
    owner.get_by_text("The warranty is void.").wait_for()
    check("This PDF is a certificate of this office, unchanged.", "void")
    stranger.goto(demo.record(1))
    stranger.get_by_text(f"It is void. The reason: {CUT}").wait_for()
    assert said == []
