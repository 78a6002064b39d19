"""The warranty register: found by what each was treated with, by whom and when, counted, page by page."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from portal.acts import covering, registering
from portal.core.cover.filing import container_keys
from portal.store.registered import RegisterFilter
from portal.store.tables import RegisterLine
from tests.parts.house import House
from tests.parts.warranties import treated_with

pytestmark = pytest.mark.slow


@pytest.fixture
def filled(house: House) -> House:
    """Three treated lots: two product lots, two subdivisions, two builders, two years."""
    treated_with(house, "Lot 1", "BL-204", subdivision="Quarry Bend")
    treated_with(house, "Lot 2", "BL-204 and BL-207", subdivision="Kiln Field", by=house.rival)
    house.clock.turn_to(date(2028, 3, 7))
    treated_with(house, "Lot 3", "bl 207", subdivision="Quarry Bend")
    return house


def found(house: House, **which: Any) -> list[str]:
    page = registering.register(house.parts, house.office, RegisterFilter(**which))
    assert page.total >= len(page.rows)
    return sorted(row.lot for row in page.rows)


def test_each_filter_finds_what_it_says_however_it_is_typed(filled: House) -> None:
    rival = filled.rival.company_id or ""
    assert found(filled) == ["Lot 1", "Lot 2", "Lot 3"]
    for typed in ("BL-204", "bl204", " BL 204 "):
        assert found(filled, container=typed) == ["Lot 1", "Lot 2"], typed
    assert found(filled, container="BL-207") == ["Lot 2", "Lot 3"]
    assert found(filled, container="BL-20") == []
    assert found(filled, subdivision="quarry bend") == ["Lot 1", "Lot 3"]
    assert found(filled, company_id=rival) == ["Lot 2"]
    for typed in ("CA-0417", "ca 0417", "wendell pike"):
        assert found(filled, technician=typed) == ["Lot 1", "Lot 2", "Lot 3"], typed
    assert found(filled, technician="CA-0533") == []
    assert found(filled, registration="00000-00") == ["Lot 1", "Lot 2", "Lot 3"]
    assert found(filled, year=2028) == ["Lot 3"]
    assert found(filled, state="held") == ["Lot 1", "Lot 2", "Lot 3"]
    assert found(filled, since=date(2027, 12, 1)) == ["Lot 3"]
    assert found(filled, until=date(2027, 12, 1)) == ["Lot 1", "Lot 2"]


def test_filters_narrow_together_and_counts_go_with_them(filled: House) -> None:
    which = RegisterFilter(container="BL-207", subdivision="Quarry Bend")
    page = registering.register(filled.parts, filled.office, which)

    assert [row.lot for row in page.rows] == ["Lot 3"]
    assert (page.states, page.years) == ({"held": 1}, {2028: 1})


def test_counts_are_of_every_state_and_year_as_of_today(filled: House) -> None:
    lots = {row.lot: row for row in registering.register(filled.parts, filled.office, RegisterFilter()).rows}
    filled.paid(lots["Lot 1"].lot_id)
    covering.make_void(filled.parts, filled.owner, lots["Lot 2"].lot_id, "Cut through.")

    page = registering.register(filled.parts, filled.office, RegisterFilter())
    assert page.states == {"in force": 1, "void": 1, "held": 1}
    assert page.years == {2028: 1, 2027: 2}
    filled.clock.turn_to(date(2037, 5, 4))  # Lot 1 ran through May 3, and nothing has let it expire yet
    page = registering.register(filled.parts, filled.office, RegisterFilter(state="expired"))
    assert ([row.lot for row in page.rows], page.states["expired"]) == (["Lot 1"], 1)
    assert found(filled, state="in force") == []
    covering.expire(filled.parts)
    assert found(filled, state="expired") == ["Lot 1"]


def test_pages_follow_one_another_without_a_gap_or_a_double(
    lite: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(registering, "PAGE", 2)
    names = [f"Lot {n}" for n in range(5)]
    for n, name in enumerate(names):
        treated_with(lite, name, "BL-204")
        lite.clock.pass_by(days=n % 2)

    seen: list[str] = []
    which: RegisterFilter | None = RegisterFilter()
    while which is not None:
        page = registering.register(lite.parts, lite.office, which)
        seen += [row.lot for row in page.rows]
        which = page.more
    assert sorted(seen) == names
    every = registering.register_rows(lite.parts, lite.office, RegisterFilter())
    assert [row.lot for row in every] == seen


def test_what_was_promised_before_there_was_a_register_is_filed_by_the_migration(house: House) -> None:
    """Down to before it and up again, every line is as it was made with its warranty."""
    from portal.store import migrate

    treated_with(house, "Lot 1", "BL-204 and BL-207")
    house.paid(house_number="12-b", street="Ferry Oak Court")
    before, url = lines(house), house.settings.database
    house.parts.store.engine.dispose()

    migrate.downgrade(url, "0021")
    migrate.upgrade(url)

    assert lines(house) == before and len(before) == 2
    assert found(house, container="bl207") == ["Lot 1"]


def lines(house: House) -> list[dict[str, Any]]:
    with house.parts.store.reading() as work:
        rows = work.session.query(RegisterLine).order_by(RegisterLine.warranty_id)
        return [
            {column.name: getattr(row, column.name) for column in RegisterLine.__table__.columns}
            for row in rows
        ]


def test_a_treatment_without_a_product_lot_is_filed_without_one() -> None:
    assert container_keys("") == ()
