"""The migrations make exactly the tables of the code, up, down and up again, on both databases."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect, text

from portal.acts import upkeep
from portal.store import migrate
from portal.store.tables import Base
from portal.store.transaction import connect
from tests.parts.house import House
from tests.parts.postgres import PostgresServer

pytestmark = pytest.mark.slow


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of a database without a table."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'empty.db'}"
    server = request.getfixturevalue("postgres_server")
    assert isinstance(server, PostgresServer)
    name = f"empty_{abs(hash(request.node.name)) % 10**9}"
    server.run(f"CREATE DATABASE {name}")
    return server.url(name)


def tables(url: str) -> set[str]:
    engine = connect(url)
    with engine.connect() as connection:
        found = set(inspect(connection).get_table_names())
    engine.dispose()
    return found


def test_up_down_and_up_again(empty_url: str) -> None:
    migrate.upgrade(empty_url)
    first = tables(empty_url)
    migrate.downgrade(empty_url)
    emptied = tables(empty_url)
    migrate.upgrade(empty_url)

    assert first == tables(empty_url) == set(Base.metadata.tables) | {"alembic_version"}
    assert emptied == {"alembic_version"}


def test_what_was_entered_outlives_the_way_down_to_the_first_edition_and_up_again(house: House) -> None:
    lot, url = house.paid(), house.settings.database
    house.parts.store.engine.dispose()

    migrate.downgrade(url, "0001")
    migrate.upgrade(url)

    assert house.sheet(lot).stage == "in force"
    assert upkeep.broken_link(house.parts) is None


def test_a_database_knows_whether_it_is_current(empty_url: str) -> None:
    before = migrate.is_current(empty_url)
    migrate.upgrade(empty_url)
    migrate.upgrade(empty_url)
    there = migrate.is_current(empty_url)
    migrate.downgrade(empty_url)

    assert (before, there, migrate.is_current(empty_url)) == (False, True, False)


def test_the_migrations_and_the_code_name_the_same_tables(store_url: str) -> None:
    engine = connect(store_url)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        found = compare_metadata(context, Base.metadata)
    engine.dispose()

    assert found == []


def test_people_who_were_here_before_there_were_rights_keep_all_of_them(empty_url: str) -> None:
    migrate.upgrade(empty_url, "0005")
    engine = connect(empty_url)
    with engine.connect().execution_options(sillbook_writing=True) as connection:
        for kind in ("builder", "office"):
            connection.execute(
                text(
                    "INSERT INTO person (id, kind, owner, name, email, phone, certificate, password_turn,"
                    " active, created_at) VALUES (:kind, :kind, false, 'Ada', :kind, '', '', 0, true,"
                    " '2027-01-01 00:00:00')"
                ),
                {"kind": kind},
            )
        connection.commit()
    migrate.upgrade(empty_url)
    with engine.connect() as connection:
        query = "SELECT kind, may_accept, may_see_money, may_manage_people, left_email FROM person ORDER BY 1"
        found = [tuple(row) for row in connection.execute(text(query))]
    engine.dispose()
    migrate.downgrade(empty_url, "0005")

    assert found == [("builder", True, True, True, ""), ("office", False, False, False, "")]


def test_migrations_are_numbered_and_one_follows_the_other() -> None:
    versions = sorted(path.name[:4] for path in (migrate.PLACE / "versions").glob("*.py"))

    assert versions == [f"{n:04}" for n in range(1, len(versions) + 1)]


def test_a_fresh_database_holds_the_first_link_of_the_history_and_nothing_else(store_url: str) -> None:
    engine = connect(store_url)
    with engine.connect() as connection:
        counted = {
            name: connection.scalar(text(f'SELECT count(*) FROM "{name}"')) for name in Base.metadata.tables
        }
    engine.dispose()

    assert {name: count for name, count in counted.items() if count} == {"history_head": 1}


def test_sqlite_survives_a_cut_of_power_and_minds_its_references(sqlite_url: str) -> None:
    engine = connect(sqlite_url)
    with engine.connect() as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    engine.dispose()

    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 30000}
