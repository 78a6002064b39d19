"""What every test stands on: no way out to the network, steady luck, and the shared parts."""

from __future__ import annotations

import pytest
from hypothesis import settings

from tests.parts import network

pytest_plugins = [
    "tests.parts.browser",
    "tests.parts.mail",
    "tests.parts.postgres",
    "tests.parts.served",
    "tests.parts.stores",
    "tests.parts.house",  # these last: they import the others, which pytest has to see first
    "tests.parts.demo",
]

network.close_the_way_out()

# The same examples every time, so that a red run can be looked into;
# --hypothesis-profile=search looks further.
settings.register_profile("steady", derandomize=True, deadline=None, database=None)
settings.register_profile("search", deadline=None, database=None, max_examples=2000)
settings.load_profile("steady")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What needs a PostgreSQL server is slow: the server alone takes seconds to start."""
    for item in items:
        second_kind = "[postgresql" in item.name or "-postgresql" in item.name
        if second_kind or {"postgres_server", "postgres_url", "postgres_house"} & set(
            getattr(item, "fixturenames", ())
        ):
            item.add_marker(pytest.mark.slow)
    # The longest files first: one that comes last keeps a single worker busy for minutes.
    items.sort(key=lambda item: "journey" not in item.keywords)
