"""Lots that came together stand in their order, on every list and over every page."""

from __future__ import annotations

import random

from portal.acts import desk, many, many_entered, package_office, packing, shelves
from portal.acts.package_state import held, seen_of
from portal.acts.parts import Actor
from portal.core.sheets.written import csv_file
from portal.store.reads import LotFilter
from tests.parts.house import House

HEADERS = ("Lot", "Address", "Town", "State", "ZIP code", "Foundation", "Exterior feet", "Interior feet",
           "Siding")  # fmt: skip
IN_ORDER = [f"Lot {number}" for number in range(1, 61)]


def names(house: House, who: Actor) -> list[str]:
    """The lots over all pages, as they stand on them."""
    which: LotFilter | None = LotFilter()
    found: list[str] = []
    while which is not None:
        page = desk.list_lots(house.parts, who, which)
        found, which = found + [row.name for row in page.rows], page.more
    return found


def entered(house: House) -> None:
    lines = [(f"Lot {n}", f"{n} Weir Road", "Marlow Ferry", "IA", "52999", "slab", "168", "128", "open")
             for n in range(1, 61)]  # fmt: skip
    found = many.read(house.parts, house.builder, "Weir Road", csv_file([HEADERS, *lines]), house.key())
    many_entered.enter(house.parts, house.builder, found)
    many_entered.go_on_with_all(house.parts)


def pressed(house: House, package_id: str, *whats: str) -> None:
    for what in whats:
        with house.parts.store.reading() as work:
            seen = seen_of(*held(work, house.office, package_id))
        package_office.press(house.parts, house.office, package_id, what, seen, house.key())


def test_60_lots_of_a_list_stand_in_its_order_for_both_over_two_pages(house: House) -> None:
    entered(house)
    assert names(house, house.builder) == IN_ORDER
    assert names(house, house.office) == IN_ORDER


def test_lots_of_a_package_stand_by_their_names_whatever_was_done_to_them_together(house: House) -> None:
    lots = {name: house.asked(name=name) for name in random.Random(7).sample(IN_ORDER[:12], 12)}
    package = packing.put_together(house.parts, house.builder, "Weir Road", tuple(lots.values()), house.key())
    assert names(house, house.builder) == IN_ORDER[:12]

    pressed(house, package, "start", "approve", "send")

    assert names(house, house.builder) == names(house, house.office) == IN_ORDER[:12]
    page = shelves.shelves(house.parts, house.builder, LotFilter())
    assert [row.name for shelf in page.shelves for row, _ in shelf.lots] == IN_ORDER[:12]


def test_what_changed_later_still_stands_on_top(lite: House) -> None:
    entered(lite)
    lite.clock.turn_to(lite.parts.today(), 9)
    newest = desk.list_lots(lite.parts, lite.builder, LotFilter(text="Lot 30")).rows[0].id
    lite.to_check(newest)
    assert names(lite, lite.builder)[:3] == ["Lot 30", "Lot 1", "Lot 2"]
