"""A folder of keys and a paper, made once."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from weasyprint import HTML

from portal.sealing import Keys, Seal

AT = datetime(2027, 5, 4, 13, tzinfo=UTC)


@pytest.fixture
def seal(tmp_path: Path) -> Seal:
    """A seal with fresh keys."""
    keys = Keys(tmp_path / "keys")
    keys.make("Trestle Wood Care", AT)
    return Seal(keys)


@pytest.fixture(scope="session")
def printed() -> bytes:
    """A PDF as the press makes them."""
    page = HTML(string="<!doctype html><html lang=en><title>Certificate</title><p>K7QM-2WHT-9RC</p>")
    made = page.write_pdf(pdf_variant="pdf/ua-1")
    assert isinstance(made, bytes)
    return made
