"""Packages as they are kept: a number without gaps, lots in and out, migrations with lots there."""

from __future__ import annotations

import pytest

from portal.core.errors import NotFound
from portal.store import lots, migrate, packages
from tests.parts.house import House


def opened(house: House, *lot_ids: str, name: str = "Alder Lane") -> tuple[str, str]:
    """A package with these lots in it; its id and number."""
    who = house.builder
    assert who.company_id and who.person_id
    with house.parts.store.writing() as work:
        row = packages.open_package(work, who.company_id, name, who.person_id, year=2027)
        for lot_id in lot_ids:
            lots.lot(work, lot_id).package_id = row.id
        return row.id, row.number


def test_packages_are_numbered_one_after_the_other(house: House) -> None:
    assert [opened(house)[1] for _ in range(2)] == ["P-2027-0001", "P-2027-0002"]


def test_lots_of_a_package_are_found_and_those_of_another_are_not(house: House) -> None:
    first, second, _ = (house.asked() for _ in range(3))
    package_id, _ = opened(house, second, first)
    opened(house)

    with house.parts.store.reading() as work:
        found = [lot.id for lot in packages.lots_in(work, package_id)]

    assert found == sorted([first, second])


def test_another_companys_package_is_not_there(house: House) -> None:
    package_id, _ = opened(house)

    with house.parts.store.reading() as work, pytest.raises(NotFound):
        packages.package(work, package_id, company_id="another")


def test_a_touched_package_has_a_later_version(house: House) -> None:
    package_id, _ = opened(house)
    with house.parts.store.writing() as work:
        packages.touch(work, packages.locked(work, package_id))

    with house.parts.store.reading() as work:
        assert packages.package(work, package_id).version == 2


def test_lots_outlive_the_migration_back_and_forth(house: House) -> None:
    lot_id = house.paid()
    engine = house.parts.store.engine
    url = engine.url.render_as_string(hide_password=False)
    opened(house, lot_id)
    engine.dispose()

    migrate.downgrade(url, "0002")
    migrate.upgrade(url)

    with engine.connect() as connection:
        row = connection.exec_driver_sql("SELECT id, package_id FROM lot").one()
        if engine.name == "sqlite":
            assert connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []
    assert tuple(row) == (lot_id, None)
