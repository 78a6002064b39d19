"""A row of a sheet as a lot: what people write, and what is said where it cannot be meant."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.estimate import answer, estimate
from portal.core.sheets import cells
from portal.core.sheets.columns import BY_KEY, COLUMNS, known
from portal.core.sheets.identity import content, identity
from portal.core.sheets.kept import kept_problems, kept_row, problems_kept, row_kept
from portal.core.sheets.naming import guessed, naming_problems
from portal.core.sheets.rows import read_row
from portal.core.takeoff.reading import read_house
from portal.core.words import Said
from tests.core.sheets.sheets import KEYS, WHOLE, row, said

DAY = date(2027, 3, 9)


def feet(**typed: str) -> str:
    """Total feet of a row's house, by the engine."""
    found = row(**typed)
    assert found.house is not None and not found.problems, found.problems
    return str(answer(estimate(read_house(found.house)))["feet"]["total"])


def test_a_whole_row_is_a_lot_with_its_house() -> None:
    found = row()

    assert found.problems == []
    assert found.texts["lot"] == "Lot 7" and found.texts["house_number"] == "112"
    # ANSI/ASHRAE Standard 140, case L100 (57 by 27 ft): 168 ft of exterior and 128 ft of interior wall.
    assert feet() == "296.00"


@pytest.mark.parametrize(
    ("typed", "total"),
    [
        ({"exterior": "168 ft", "interior": "128'"}, "296.00"),
        ({"exterior": "1,680", "interior": "1,280.5 ft"}, "2960.50"),
        ({"stories": "2"}, "592.00"),
        ({"stories": "2.0", "interior": "0"}, "336.00"),
        ({"exterior": "", "width": "57'", "depth": "27' 0\""}, "296.00"),
        # 8 by 6 m (BESTEST case 600) is 28 m, 91.8635 ft; and 128 ft within.
        ({"exterior": "", "width": "8 m", "depth": "600 cm"}, "219.86"),
    ],
)  # fmt: skip
def test_feet_as_people_write_them(typed: dict[str, str], total: str) -> None:
    assert feet(**typed) == total


def test_interior_feet_that_nobody_measured_are_estimated_from_a_width_and_a_depth() -> None:
    found = row(exterior="", interior="", width="57", depth="27")

    assert found.house is not None
    assert answer(estimate(read_house(found.house)))["basis"] == "estimated"


@pytest.mark.parametrize(
    "typed",
    ["2027-03-09", "2027-3-9", "3/9/2027", "03/09/2027", "3/9/27", "Mar 9, 2027", "March 9 2027",
     "9 Mar 2027", "9-Mar-2027", "2027-03-09 00:00:00", " 2027-03-09 "],
)  # fmt: skip
def test_days_as_people_write_them(typed: str) -> None:
    assert row(siding_starts=typed).siding_starts == DAY


@pytest.mark.parametrize(
    "typed", ["2027-02-30", "13/9/2027", "soon", "9.3.2027", "46090", "Mar 2027", "9 Foo 2027"]
)
def test_what_is_no_day_is_told_with_one_that_is(typed: str) -> None:
    assert said(siding_starts=typed) == {
        "siding_starts": [f"“{typed}” is no day; write it as 2027-03-09 or 3/9/2027."]
    }


@pytest.mark.parametrize(
    ("typed", "status"),
    [
        ("Open", "open"),
        ("bare", "open"),
        ("WRAPPED", "wrapped"),
        ("house-wrap", "wrapped"),
        ("siding on", "sided"),
    ],
)
def test_siding_as_people_write_it(typed: str, status: str) -> None:
    assert row(siding=typed).siding == status


@pytest.mark.parametrize(
    ("typed", "plan", "mirrored"),
    [
        ({"plan": "Alder"}, "Alder", False), ({"plan": "Alder", "mirrored": "x"}, "Alder", True),
        ({"plan": "Alder, mirrored"}, "Alder", True), ({"plan": "Alder (Mirrored)"}, "Alder", True),
        ({"plan": "Alder - reversed"}, "Alder", True),
        ({"plan": "Alder B, Elevation 2"}, "Alder B, Elevation 2", False),
    ],
)  # fmt: skip
def test_a_plan_by_name_and_the_other_way_around(typed: dict[str, str], plan: str, mirrored: bool) -> None:
    found = row(exterior="", interior="", siding="", **typed)

    assert (found.problems, found.plan, found.mirrored) == ([], plan, mirrored)


@pytest.mark.parametrize(
    ("typed", "number", "street"),
    [("112 Lime Kiln Lane", "112", "Lime Kiln Lane"), (" 112B  Weir   Road ", "112B", "Weir Road")],
)
def test_an_address_in_one(typed: str, number: str, street: str) -> None:
    found = row(house_number="", street="", address=typed)

    assert (found.problems, found.texts["house_number"], found.texts["street"]) == ([], number, street)


@pytest.mark.parametrize(
    ("typed", "column", "words"),
    [
        ({"lot": ""}, "lot", "This is missing."),
        ({"street": ""}, "street", "This is missing."),
        ({"house_number": "?"}, "house_number", "“?” is no house number; it has a digit or a letter."),
        ({"house_number": "", "street": "", "address": "Lime Kiln Lane"}, "address",
         "“Lime Kiln Lane” does not begin with a house number; write it like 112 Orchard Row."),
        ({"foundation": ""}, "foundation", "This is missing; write slab, basement, crawl space or other."),
        ({"foundation": "stilts"}, "foundation",
         "“stilts” is no foundation; write slab, basement, crawl space or other."),
        ({"exterior": "lots"}, "exterior",
         "“lots” is not a length; write it like 32' 6\", 32.5 ft or 9.75 m"),
        ({"exterior": "-168"}, "exterior", "“-168” is negative; a length here must not be"),
        ({"exterior": "32' 14\""}, "exterior",
         "“32' 14\"” has 14 in behind the feet; inches there are under 12"),
        ({"exterior": "168", "width": "57", "depth": "27"}, "exterior",
         "Give exterior feet or a width and a depth, not both: “168” and “57”."),
        ({"exterior": "", "width": "57"}, "depth", "This is missing: a width and a depth go together."),
        ({"exterior": ""}, "plan", "There is no house in this row: name a house plan, or give exterior and "
         "interior feet, or a width and a depth."),
        ({"interior": ""}, "interior", "This is missing; write 0 where there are no interior walls."),
        ({"siding": ""}, "siding", "This is missing; write open, wrapped or sided."),
        ({"siding": "vinyl"}, "siding", "“vinyl” is no siding status; write open, wrapped or sided."),
        ({"stories": "two"}, "stories",
         "“two” is no count of stories; write a whole number from 1 to 60."),
        ({"stories": "61"}, "stories", "“61” is no count of stories; write a whole number from 1 to 60."),
        ({"plan": "Alder"}, "plan",
         "A row names a plan or gives feet, not both: “Alder” is named, and Exterior feet is “168”."),
        ({"plan": "Alder", "exterior": "", "interior": "", "mirrored": "perhaps"}, "mirrored",
         "“perhaps” is neither yes nor no."),
        ({"postal_code": "5" * 21}, "postal_code",
         "“555555555555555555555” has 21 characters; at most 20 are taken here."),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_at_its_column_in_words(typed: dict[str, str], column: str, words: str) -> None:
    assert said(**typed) == {column: [words]}


def test_everything_that_is_wrong_is_told_at_once() -> None:
    assert set(said(lot="", foundation="x", siding="y", exterior="z", siding_starts="w")) == {
        "lot", "foundation", "siding", "exterior", "siding_starts",
    }  # fmt: skip


def test_a_cell_too_many_is_told_of_the_row() -> None:
    typed = [WHOLE.get(key, "") for key in KEYS]

    found = read_row([*typed, "stray"], KEYS, {})

    assert [str(problem.says) for problem in found.problems] == [
        "This row has 21 cells, and 20 columns have names. Is there a comma too many?"
    ]


def test_what_is_said_for_all_rows_holds_where_a_row_is_silent() -> None:
    typed = WHOLE | {"town": "", "state": "NE"}

    found = read_row([typed.get(key, "") for key in KEYS], KEYS, {"town": "Marlow Ferry", "state": "IA"})

    assert (found.texts["town"], found.texts["state"]) == ("Marlow Ferry", "NE")


@given(st.lists(st.text(max_size=30), max_size=25))
def test_no_row_breaks_the_checking(record: list[str]) -> None:
    found = read_row(record, KEYS, {})

    assert found.house is None or not found.problems
    assert problems_kept(kept_problems(found.problems)) == tuple(found.problems)


@pytest.mark.parametrize(
    "typed", [{}, {"siding_starts": "3/9/2027", "notes": "Gate 7"}, {"plan": "A, mirrored"}]
)
def test_a_row_that_is_kept_is_the_same_lot(typed: dict[str, str]) -> None:
    found = row(**typed)

    again = row_kept(kept_row(found))
    again.problems = found.problems

    assert again == found


@pytest.mark.parametrize(
    "other",
    [
        {"lot": "LOT  7"},
        {"street": "lime kiln lane."},
        {"subdivision": "Quarry-Bend"},
        {"notes": "x"},
        {"siding": "sided"},
    ],
)
def test_the_same_lot_is_known_again_however_it_is_spelled(other: dict[str, str]) -> None:
    assert identity(row(**other).texts) == identity(row().texts)


@pytest.mark.parametrize("other", [{"lot": "Lot 8"}, {"house_number": "113"}, {"postal_code": "52998"}])
def test_another_lot_is_another(other: dict[str, str]) -> None:
    assert identity(row(**other).texts) != identity(row().texts)


def test_what_is_said_of_a_lot_has_its_own_print() -> None:
    prints = {
        content(kept_row(row(**typed)))
        for typed in ({}, {"siding": "sided"}, {"notes": "x"}, {"stories": "2"})
    }

    assert len(prints) == 4


# Naming the columns.


@pytest.mark.parametrize(
    ("header", "column"),
    [("Lot", "lot"), ("LOT #", "lot"), ("lot_no", "lot"), ("Zip", "postal_code"), ("ZIP Code", "postal_code"),
     ("City", "town"), ("Plan Name", "plan"), ("Ext. walls", ""), ("Exterior LF", "exterior"), ("", "")],
)  # fmt: skip
def test_a_header_that_everybody_understands(header: str, column: str) -> None:
    assert known(header) == column


def test_no_two_columns_go_by_one_name() -> None:
    names = [name for column in COLUMNS for name in (str(column.label), *column.names)]

    assert [known(name) for name in names] == [
        column.key for column in COLUMNS for _ in (column.label, *column.names)
    ]


def test_what_was_said_before_goes_before_what_is_known() -> None:
    headers = ["Lot", "Site ref", "Town", "city"]

    assert guessed(headers, {"siteref": "lot", "lot": "notes"}) == ["notes", "lot", "town", ""]


def test_a_naming_without_what_every_lot_needs_says_what() -> None:
    headers = ["A", "B", "C", "D"]

    found = naming_problems(
        headers, ["lot", "lot", "address", ""], {"town": "x", "state": "x", "foundation": " "}
    )

    assert {problem.at: str(problem.says) for problem in found} == {
        "column-1": "Lot is named already: A.",
        "fill-postal_code": "No column is named ZIP code, and every lot needs it.",
        "fill-foundation": "No column is named Foundation, and every lot needs it.",
        "fill-plan": "No column is named House plan, Exterior feet or Width, and every lot needs it.",
    }


def test_every_reader_of_a_cell_answers_a_value_or_a_sentence() -> None:
    for cell in ("", "0", "½", "٣", "x" * 300, "\x00"):
        for reader in (cells.siding, cells.foundation, cells.yes, cells.stories, cells.length, cells.day):
            assert reader(cell) is not None
        assert isinstance(cells.address(cell), Said)
    assert set(KEYS) == set(BY_KEY)
