"""The application on a furnished house, fresh for each test."""

from __future__ import annotations

import pytest

from tests.parts.house import House
from tests.web.visits import Visits, make_visits


@pytest.fixture
def visits(lite: House) -> Visits:
    """An office with its people and editions, no lot yet, and no CSRF token needed."""
    return make_visits(lite)
