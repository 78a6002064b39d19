"""Many lots at once: 500 rows with 37 mistakes, sent twice, cut short, at the same moment, and mended."""

from __future__ import annotations

from functools import partial
from typing import Any

import pytest

from portal.acts import asking, many, many_entered, sheet, upkeep
from portal.acts.many import ListView
from portal.acts.parts import Actor
from portal.core.errors import NotAllowed, NotFound, Refused
from portal.core.sheets.columns import BY_KEY
from portal.core.sheets.written import csv_file
from portal.store import plans
from portal.store.tables import History, Lot, LotListRow, Package, PlanEdition
from tests.parts.at_once import at_once
from tests.parts.house import House, ranch
from tests.parts.refusals import problems, refusal
from tests.parts.sheets import HEADERS, add_alder, big_sheet

pytestmark = pytest.mark.slow

#: Our own names: nothing has to be named.
OURS = ("Lot", "Subdivision", "House number", "Street", "Town", "State", "ZIP code", "Foundation",
        "Exterior feet", "Interior feet", "Siding", "Notes")  # fmt: skip


def lot(number: int = 1, **cells: str) -> list[str]:
    """A row of a small sheet."""
    typed = dict(zip(OURS, (f"Lot {number}", "Quarry Bend", str(number), "Weir Road", "Marlow Ferry", "IA",
                            "52999", "slab", "168", "128", "open", ""), strict=True))  # fmt: skip
    return list((typed | cells).values())


def sheet_of(*rows: list[str]) -> bytes:
    return csv_file([OURS, *rows])


def read(house: House, data: bytes, by: Actor | None = None, name: str = "Spring lots") -> str:
    return many.read(house.parts, by or house.builder, name, data, house.key())


def view(house: House, list_id: str) -> ListView:
    return many.look(house.parts, house.builder, list_id).list


def enter(house: House, list_id: str, by: Actor | None = None) -> ListView:
    many_entered.enter(house.parts, by or house.builder, list_id)
    many_entered.go_on_with_all(house.parts)
    return view(house, list_id)


def every_row(house: House, list_id: str) -> list[many.RowView]:
    found: list[many.RowView] = []
    offset: int | None = 0
    while offset is not None:
        looked = many.look(house.parts, house.builder, list_id, offset=offset)
        found, offset = found + list(looked.rows), looked.more
    return found


def returned(house: House, list_id: str) -> bytes:
    """The rows that come back, as the page writes them."""
    found = many.returned(house.parts, house.builder, list_id)
    rows = [[*row.cells, "; ".join(str(one.says) for one in row.problems)] for row in found.rows]
    return csv_file([[*found.headers, "What to mend"], *rows])


def test_500_lots_with_37_mistakes_463_asked_for_37_returned_twice_sent_once_entered(lite: House) -> None:
    add_alder(lite)
    data, faulty = big_sheet()

    first = read(lite, data)
    rows = every_row(lite, first)

    wrong = {
        row.number: "; ".join(
            f"{BY_KEY[one.at].label}: {one.says}" if one.at else str(one.says) for one in row.problems
        )
        for row in rows if row.state == "bad"
    }  # fmt: skip
    assert set(wrong) == set(faulty)
    assert [n for n, words in faulty.items() if words not in wrong[n]] == []
    assert {len(row.problems) for row in rows if row.state == "bad"} == {1}, "one planted, one told"
    assert view(lite, first).counts == {"good": 463, "bad": 37}

    done = enter(lite, first)
    again = enter(lite, first)
    second = read(lite, data)

    assert (done.state, done.counts) == ("done", {"entered": 463, "bad": 37}) == (again.state, again.counts)
    # The 37 come back again, of which some are told otherwise: the lot that they double is there now.
    assert view(lite, second).counts == {"before": 463, "bad": 37}
    assert refusal(lambda: enter(lite, second)).startswith("There is no row in this list")
    assert lite.rows(Lot) == 463
    lots = {row.number: row.lot_id for row in every_row(lite, first) if row.lot_id}
    assert {n: row_lot for n, row_lot in lots.items() if n not in faulty} == {
        row.number: row.lot_id for row in every_row(lite, second) if row.state == "before"
    }


def test_463_lots_are_one_package_and_one_letter_to_each_in_the_office(lite: House) -> None:
    add_alder(lite)
    data, _ = big_sheet()

    done = enter(lite, read(lite, data))

    kinds = [kind for kind, _ in lite.letters()]
    assert (kinds.count("asked_many"), kinds.count("asked")) == (2, 0)
    with lite.parts.store.reading() as work:
        (package,) = work.session.query(Package).all()
        assert {row.package_id for row in work.session.query(Lot)} == {package.id} == {done.package_id}
        assert (package.name, package.company_id) == ("Spring lots", lite.builder.company_id)
        assert work.session.query(History).filter_by(verb="asked many").count() == 1
        assert {row.created_by for row in work.session.query(Lot)} == {lite.builder.person_id}


def test_a_lot_from_a_list_is_what_the_row_says(lite: House) -> None:
    add_alder(lite)
    data, _ = big_sheet()
    enter(lite, found := read(lite, data))
    by_number = {row.number: row for row in every_row(lite, found)}

    by_plan = sheet.sheet(lite.parts, lite.builder, by_number[1].lot_id or "")
    by_feet = sheet.sheet(lite.parts, lite.builder, by_number[2].lot_id or "")

    # Standard 140, case L100: 168 and 128 ft; its faces are turned around, and measure the same.
    assert by_plan.takeoff.estimate["feet"]["total"] == "296.00" == by_number[1].feet
    assert by_plan.takeoff.house["levels"][0]["siding"]["west"] == "wrapped"
    assert by_plan.place.house_number, by_plan.place.street == ("1", "Sluice Road")
    assert by_feet.takeoff.estimate["feet"] | {"total": "270.50"} == by_feet.takeoff.estimate["feet"]
    assert by_feet.notes == "Gate 7, “rear”"
    assert by_feet.siding_starts is not None and by_feet.siding_starts.isoformat() == "2027-06-14"
    with lite.parts.store.reading() as work:
        stored = work.session.get(Lot, by_number[1].lot_id)
        assert stored is not None and stored.mirrored
        assert stored.plan_edition_id == work.session.query(PlanEdition).one().id


def test_rows_that_came_back_are_mended_and_sent_again(lite: House) -> None:
    first = read(lite, sheet_of(lot(1), lot(2, Siding="vinyl"), lot(3, Notes="=1+1", Foundation="?")))
    enter(lite, first)

    text = returned(lite, first).decode()
    second = read(lite, text.replace("vinyl", "sided").replace("?", "slab").encode())
    enter(lite, second)

    assert "'=1+1" in text
    assert every_row(lite, second)[1].said["texts"]["notes"] == "=1+1"
    assert view(lite, second).headers == OURS
    assert view(lite, second).counts == {"entered": 2}
    assert lite.rows(Lot) == 3


def test_the_same_lot_twice_in_one_file_is_entered_once(lite: House) -> None:
    found = read(lite, sheet_of(lot(1), lot(2), lot(1, Street="WEIR road")))
    assert problems_in(lite, found) == {
        3: ["Line 2 is the same lot with something else in it; keep one of the two."]
    }

    alike = read(lite, sheet_of(lot(1), lot(2), lot(1)))
    assert [(row.state, row.same_as) for row in every_row(lite, alike)] == [
        ("good", None), ("good", None), ("before", 2),
    ]  # fmt: skip
    enter(lite, alike)

    rows = every_row(lite, alike)
    assert lite.rows(Lot) == 2
    assert rows[2].lot_id == rows[0].lot_id


def problems_in(house: House, list_id: str) -> dict[int, list[str]]:
    return {
        row.number: [str(one.says) for one in row.problems]
        for row in every_row(house, list_id) if row.problems
    }  # fmt: skip


def test_a_lot_that_was_entered_with_something_else_comes_back_with_its_lot(lite: House) -> None:
    enter(lite, read(lite, sheet_of(lot(1))))

    found = read(lite, sheet_of(lot(1, Siding="sided")))

    (row,) = every_row(lite, found)
    assert (row.state, row.lot_id is not None) == ("bad", True)
    assert str(row.problems[0].says).startswith("This lot was entered before, with something else in it.")


def test_a_lot_that_was_asked_for_by_its_own_page_is_known_too(lite: House) -> None:
    there = lite.asked(name="Lot 1", house_number="1", street="Weir Road")

    found = read(lite, sheet_of(lot(1), lot(2)))

    assert [(row.state, row.lot_id) for row in every_row(lite, found)] == [("before", there), ("good", None)]


def test_another_builder_may_have_the_same_lot(lite: House) -> None:
    enter(lite, read(lite, sheet_of(lot(1))))

    found = read(lite, sheet_of(lot(1)), lite.rival)

    assert many.look(lite.parts, lite.rival, found).list.counts == {"good": 1}


def test_two_people_send_the_same_file_at_the_same_moment(house: House) -> None:
    colleague = house.person("builder", "Ivy Marsh", company_id=house.builder.company_id)
    data = sheet_of(*(lot(n) for n in range(1, 61)))
    lists = at_once(*(partial(read, house, data, who) for who in (house.builder, colleague)))

    both = zip(lists, (house.builder, colleague), strict=True)
    said = at_once(*(partial(enter, house, list_id, who) for list_id, who in both))

    assert [one for one in said if isinstance(one, Exception)] == []
    many_entered.go_on_with_all(house.parts)
    assert house.rows(Lot) == 60
    counted = [view(house, list_id) for list_id in lists]
    assert {one.state for one in counted} == {"done"}
    assert sum(one.count("entered") for one in counted) == 60
    assert sum(one.count("before") for one in counted) == 60
    assert all(row.lot_id for list_id in lists for row in every_row(house, list_id))


def test_many_go_on_with_one_list_at_the_same_moment(house: House) -> None:
    found = read(house, sheet_of(*(lot(n) for n in range(1, 81))))
    many_entered.enter(house.parts, house.builder, found)

    said = at_once(*[partial(many_entered.go_on_with_all, house.parts)] * 4)

    assert said == [None] * 4
    assert house.rows(Lot) == 80
    assert view(house, found).counts == {"entered": 80}
    assert house.rows(Package) == 1


def test_what_is_left_half_way_is_found_again_and_gone_on_with(lite: House) -> None:
    found = read(lite, sheet_of(*(lot(n) for n in range(1, 61))))
    many_entered.enter(lite.parts, lite.builder, found)

    more = many_entered.go_on(lite.parts, found)

    half = view(lite, found)
    assert (more, half.state, half.counts) == (True, "entering", {"entered": 25, "good": 35})
    assert [one.id for one in many.newest(lite.parts, lite.builder)] == [found]
    many_entered.go_on_with_all(lite.parts)
    assert view(lite, found).counts == {"entered": 60}


class Cut(Exception):
    """The current went."""


def test_a_chunk_that_is_cut_short_leaves_nothing_behind(
    lite: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = read(lite, sheet_of(*(lot(n) for n in range(1, 41))))
    many_entered.enter(lite.parts, lite.builder, found)
    asked = many_entered.ask_in
    calls = iter(range(40))

    def cut(*args: Any, **more: Any) -> Any:
        if next(calls) == 30:
            raise Cut
        return asked(*args, **more)

    monkeypatch.setattr(many_entered, "ask_in", cut)
    with pytest.raises(Cut):
        many_entered.go_on_with_all(lite.parts)
    assert lite.rows(Lot) == 25

    monkeypatch.undo()
    many_entered.go_on_with_all(lite.parts)
    assert (lite.rows(Lot), view(lite, found).counts) == (40, {"entered": 40})


def test_a_form_sent_twice_makes_one_list(lite: House) -> None:
    data, key = sheet_of(lot(1)), lite.key()

    first, second = (many.read(lite.parts, lite.builder, "x", data, key) for _ in range(2))

    assert first == second
    assert lite.rows(LotListRow) == 1


def test_columns_of_other_names_are_named_once_and_remembered_for_the_company(lite: House) -> None:
    headers = ("Ref", "Where", "Town", "State", "ZIP", "Base", "LF out", "LF in", "Cladding")
    row = ("Lot 1", "1 Weir Road", "Marlow Ferry", "IA", "52999", "", "168", "128", "open")
    naming = ("lot", "address", "town", "state", "postal_code", "", "exterior", "interior", "siding")
    first = read(lite, csv_file([headers, row]))
    assert view(lite, first).state == "naming"

    wrong = problems(lambda: many.name_columns(lite.parts, lite.builder, first, naming, {}))
    many.name_columns(lite.parts, lite.builder, first, naming, {"foundation": "slab"})
    second = read(lite, csv_file([(*headers, "Foundation"), (*row, "slab")]))

    assert list(wrong) == ["fill-foundation"]
    assert (view(lite, first).state, view(lite, first).counts) == ("looked", {"good": 1})
    assert view(lite, second).naming == (*naming, "foundation")
    assert (
        many.look(lite.parts, lite.rival, read(lite, csv_file([headers, row]), lite.rival)).list.state
        == "naming"
    )


def test_a_plan_that_is_added_meanwhile_is_seen_when_it_is_checked_again(lite: House) -> None:
    data = csv_file([HEADERS, ["Lot 1", "", "", "1 Weir Road", "Marlow Ferry", "IA", "52999", "slab", "ALDER",
                               "", "", "", "", "", ""]])  # fmt: skip
    found = read(lite, data)
    assert "is none of your house plans" in problems_in(lite, found)[1][0]

    add_alder(lite)
    many.check_again(lite.parts, lite.builder, found)

    assert view(lite, found).counts == {"good": 1}


def test_the_edition_that_was_looked_at_is_the_one_that_is_asked_for(lite: House) -> None:
    add_alder(lite)
    data = csv_file([HEADERS, ["Lot 1", "", "", "1 Weir Road", "Marlow Ferry", "IA", "52999", "slab", "Alder",
                               "", "", "", "", "", ""]])  # fmt: skip
    found = read(lite, data)
    with lite.parts.store.writing() as work:
        plan = plans.plan_named(work, lite.builder.company_id or "", "Alder")
        assert plan is not None
        plans.add_edition(work, plan.id, ranch(interior="500"), "", "x")

    enter(lite, found)

    assert every_row(lite, found)[0].feet == "296.00"


def test_a_retired_plan_is_told(lite: House) -> None:
    add_alder(lite)
    with lite.parts.store.writing() as work:
        plan = plans.plan_named(work, lite.builder.company_id or "", "Alder")
        assert plan is not None
        plan.retired_at = work.now

    found = read(lite, csv_file([HEADERS, ["Lot 1", "", "", "1 Weir Road", "Marlow Ferry", "IA", "52999",
                                           "slab", "Alder", "", "", "", "", "", ""]]))  # fmt: skip

    assert problems_in(lite, found) == {
        1: ["The house plan “Alder” is retired; name another, or offer it again."]
    }


def test_one_good_row_makes_a_lot_and_no_package(lite: House) -> None:
    done = enter(lite, read(lite, sheet_of(lot(1), lot(2, Siding="?"))))

    assert (done.package_id, lite.rows(Package), lite.rows(Lot)) == (None, 0, 1)


def test_a_list_that_was_asked_for_is_not_named_or_checked_again(lite: House) -> None:
    found = read(lite, sheet_of(lot(1)))
    enter(lite, found)

    for act in (lambda: many.check_again(lite.parts, lite.builder, found),
                lambda: many.name_columns(lite.parts, lite.builder, found, [], {})):  # fmt: skip
        assert refusal(act).startswith("These prices are asked for already.")


def test_another_builders_list_is_not_there(lite: House) -> None:
    found = read(lite, sheet_of(lot(1), lot(2, Siding="?")))
    parts, rival = lite.parts, lite.rival

    for act in (
        lambda: many.look(parts, rival, found), lambda: many.samples(parts, rival, found),
        lambda: many.returned(parts, rival, found), lambda: many.check_again(parts, rival, found),
        lambda: many.name_columns(parts, rival, found, [], {}),
        lambda: many_entered.enter(parts, rival, found),
        lambda: many_entered.go_on_for(parts, rival, found),
    ):  # fmt: skip
        with pytest.raises(NotFound):
            act()
    assert many.newest(parts, rival) == ()


def test_nothing_of_a_list_is_returned_where_nothing_is_wrong(lite: House) -> None:
    with pytest.raises(Refused, match="no row to mend"):
        many.returned(lite.parts, lite.builder, read(lite, sheet_of(lot(1))))


def test_a_technician_has_no_lists(lite: House) -> None:
    with pytest.raises(NotAllowed):
        many.read(lite.parts, lite.technician, "x", sheet_of(lot(1)), lite.key())


def test_the_list_that_was_changed_by_its_lots_own_page_is_still_entered_before(lite: House) -> None:
    enter(lite, first := read(lite, sheet_of(lot(1))))
    lot_id = every_row(lite, first)[0].lot_id or ""
    place: dict[str, str] = {"name": "Lot 1", "house_number": "1", "street": "Weir Road"}
    changed = lite.lot_asked(**place, house=ranch("sided"))
    asking.change(lite.parts, lite.builder, lot_id, lite.version(lot_id), changed)

    found = read(lite, sheet_of(lot(1)))

    assert view(lite, found).counts == {"before": 1}


def test_a_list_that_nobody_asked_for_is_forgotten_and_one_that_was_is_kept(lite: House) -> None:
    left, asked = read(lite, sheet_of(lot(1))), read(lite, sheet_of(lot(2)))
    enter(lite, asked)

    lite.clock.pass_by(days=91)
    upkeep.forget(lite.parts)

    assert [one.id for one in many.newest(lite.parts, lite.builder)] == [asked]
    with pytest.raises(NotFound):
        many.look(lite.parts, lite.builder, left)
