"""A fresh database for a test: on SQLite and on PostgreSQL, both built by running the migrations.

The migrations run once a session and kind; each test then gets a copy, a file
here and a TEMPLATE there, which costs milliseconds.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest

from tests.parts.postgres import PostgresServer


@pytest.fixture(scope="session")
def migrated_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An SQLite file with every table at its newest edition and no row. Copy it, do not open it."""
    from portal.store import migrate

    made = tmp_path_factory.mktemp("migrated") / "sillbook.db"
    migrate.upgrade(f"sqlite:///{made}")
    return made


@pytest.fixture(scope="session")
def new_postgres(postgres_server: PostgresServer) -> Iterator[Callable[[], str]]:
    """Makes databases like `migrated_sqlite` on the server; each call gives the address of a new one."""
    from portal.store import migrate

    postgres_server.run("CREATE DATABASE migrated")
    migrate.upgrade(postgres_server.url("migrated"))
    numbers = count(1)

    def make() -> str:
        name = f"test_{next(numbers)}"
        postgres_server.run(f"CREATE DATABASE {name} TEMPLATE migrated")
        return postgres_server.url(name)

    return make


@pytest.fixture
def sqlite_url(migrated_sqlite: Path, tmp_path: Path) -> str:
    """The address of a fresh SQLite database."""
    copy = tmp_path / "sillbook.db"
    shutil.copyfile(migrated_sqlite, copy)
    return f"sqlite:///{copy}"


@pytest.fixture
def postgres_url(new_postgres: Callable[[], str]) -> str:
    """The address of a fresh PostgreSQL database."""
    return new_postgres()


@pytest.fixture(params=["sqlite", "postgresql"])
def store_url(request: pytest.FixtureRequest) -> str:
    """A fresh database; the test runs twice, once on each kind."""
    wanted = "sqlite_url" if request.param == "sqlite" else "postgres_url"
    return str(request.getfixturevalue(wanted))
