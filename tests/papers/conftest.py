"""One maker of papers for all tests of a run: setting one up costs more than any paper."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from portal.formats import Formats
from portal.papers import Papers

FORMATS = Formats(locale="en_US", zone=ZoneInfo("America/Chicago"), translate=str)


@pytest.fixture(scope="session")
def papers() -> Papers:
    """Papers on US Letter, in English."""
    return Papers("Letter", FORMATS)
