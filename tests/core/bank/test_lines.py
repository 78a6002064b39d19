"""A bank's list is read as it is written: days, amounts, columns; the same line has the same fingerprint.

That records are lines of fields, quoted where they hold a delimiter, is RFC 4180; days year first are
ISO 8601. How banks head their columns and write amounts: common practice, no source.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.bank import cells
from portal.core.bank.columns import guessed, knows, naming_problems
from portal.core.bank.lines import Line, Reading, read_lines
from portal.core.errors import BadInput
from portal.core.sheets.table import table_of
from portal.core.words import Said, say

D = Decimal
NONE = say("None.")


@pytest.mark.parametrize(
    ("cell", "written", "value"),
    [
        ("2027-03-09", "year", date(2027, 3, 9)), ("20270309", "year", date(2027, 3, 9)),
        ("2027-03-09T14:20:00", "year", date(2027, 3, 9)), ("2027/3/9", "year", date(2027, 3, 9)),
        ("3/9/2027", "month", date(2027, 3, 9)), ("03/09/27", "month", date(2027, 3, 9)),
        ("3/9/2027", "day", date(2027, 9, 3)), ("9.3.2027", "day", date(2027, 3, 9)),
        ("13/9/2027", "month", None), ("2027-02-30", "year", None), ("", "year", None),
        ("soon", "day", None),
        ("2027-03-09", "month", None), ("3/9/2027", "year", None), ("٣/9/2027", "month", None),
    ],
)  # fmt: skip
def test_a_day_is_read_as_it_was_said_to_be_written(cell: str, written: str, value: date | None) -> None:
    read = cells.day(cell, written)
    assert (None if isinstance(read, Said) else read) == value


@pytest.mark.parametrize(
    ("cell", "written", "value"),
    [
        ("540.51", "point", "540.51"), ("1,250.00", "point", "1250.00"), ("$1,250", "point", "1250"),
        ("-540.51", "point", "-540.51"), ("−540.51", "point", "-540.51"), ("(540.51)", "point", "-540.51"),
        ("540.51-", "point", "-540.51"), ("+5", "point", "5"), ("5.1", "point", "5.1"),
        (".50", "point", "0.5"),
        ("540.51 DR", "point", "-540.51"), ("540.51 CR", "point", "540.51"), ("", "point", "0"),
        ("540,51", "comma", "540.51"), ("1.250,00", "comma", "1250"), ("1 250,00", "comma", "1250"),
        ("-1.250,5", "comma", "-1250.5"), ("540.51", "comma", None), ("1,250.00", "comma", None),
        ("1,25", "point", None), ("1.005", "point", None), ("12,50.00", "point", None), ("x", "point", None),
        ("9" * 10, "point", None),
        (".", "point", None), ("1e5", "point", None), ("NaN", "point", None),
    ],
)  # fmt: skip
def test_an_amount_is_read_to_the_cent_or_not_at_all(cell: str, written: str, value: str | None) -> None:
    read = cells.amount(cell, written)
    assert (None if isinstance(read, Said) else read) == (None if value is None else D(value))


def test_how_days_and_amounts_are_written_is_proposed_from_what_can_be_read() -> None:
    assert cells.days_proposed(["3/9/2027", "12/31/2027"]) == "month"
    assert cells.days_proposed(["31/12/2027", "1/2/2027"]) == "day"
    assert cells.days_proposed(["2027-03-09"]) == "year"
    assert cells.decimal_proposed(["1.250,00", "7"]) == "comma"
    assert cells.decimal_proposed(["1,250.00", "1,250"]) == cells.decimal_proposed([]) == "point"


def read(text: str, days: str = "month", decimal: str = "point") -> list[Line]:
    table = table_of(text.encode(), knows, 100, NONE, above=12)
    rows = [(record.line, list(record.cells)) for record in table.records]
    lines, problems = read_lines(rows, Reading(guessed(table.headers, {}), days, decimal))
    assert not problems, problems
    return lines


def facts(lines: list[Line]) -> list[tuple[date, Decimal, str]]:
    return [(line.day, line.amount, line.text) for line in lines]


def test_the_usual_dialects_come_to_the_same_lines() -> None:
    day = date(2027, 3, 9)
    expected = [(day, D("1250.00"), "HARROW, FINCH INV-2027-0001"), (day, D(-12), "Fee")]

    comma = ('Date,Description,Amount\r\n3/9/2027,"HARROW, FINCH INV-2027-0001","1,250.00"\r\n'
             "3/9/2027,Fee,-12.00\r\n")  # fmt: skip
    tab = "Date\tDescription\tAmount\n3/9/2027\tHARROW, FINCH INV-2027-0001\t1250\n3/9/2027\tFee\t-12\n"
    semi = "Date;Description;Amount\n9.3.2027;HARROW, FINCH INV-2027-0001;1.250,00\n9.3.2027;Fee;-12,00\n"
    two = ("Posted,Details,Debit,Credit,Balance\n2027-03-09,\"HARROW, FINCH INV-2027-0001\",,1250.00,9\n"
           "2027-03-09,Fee,12.00,,8\n")  # fmt: skip
    above = "Account 0417\nFrom,3/1/2027\n\n" + comma

    assert facts(read(comma)) == facts(read("\ufeff" + comma)) == facts(read(above)) == expected
    assert facts(read(tab)) == facts(read(semi, "day", "comma")) == facts(read(two, "year")) == expected


def test_a_line_has_one_fingerprint_wherever_it_is_read_and_each_of_those_alike_its_own() -> None:
    head, same = "Date,Description,Amount\n", "3/9/2027,Deposit,100.00\n"
    first = read(head + same + same + "3/10/2027,Deposit,100.00\n")
    second = read(head + "3/8/2027,x,1\n" + same + same)

    assert len({line.mark for line in first}) == 3
    assert {line.mark for line in second[1:]} == {line.mark for line in first[:2]}
    # Another bank's spaces and case are no other line.
    assert read(head + "03/09/2027,DEPOSIT ,$100\n")[0].mark == first[0].mark


def test_lines_that_cannot_be_read_are_told_by_their_number() -> None:
    lines, problems = read_lines(
        [(2, ["3/9/2027", "x"]), (3, ["soon", "5"]), (4, [])], Reading(["day", "amount"], "month", "point")
    )
    assert lines == [] and [str(one.says) for one in problems] == [
        "Line 2: “x” is no amount.", "Line 3: “soon” is no day.", "Line 4: “” is no day.",
    ]  # fmt: skip


def test_a_naming_needs_a_day_and_one_way_to_say_the_amount() -> None:
    def said(*naming: str) -> list[str]:
        return [str(one.says) for one in naming_problems([f"h{n}" for n in range(len(naming))], naming)]

    assert said("day", "amount") == said("day", "in", "out", "text") == said("day", "in") == []
    assert said("amount") == ["No column is named Day, and every line needs it."]
    assert said("day", "out") == ["No column is named Amount or Came in, and every line needs one."]
    assert said("day", "amount", "out") == ["Amount, or Came in and Went out: not all of them."]
    assert said("day", "amount", "day") == ["Day is named already: h0."]


@given(st.binary(max_size=400))
def test_whatever_is_sent_is_read_or_refused(data: bytes) -> None:
    try:
        table = table_of(b"Date,Amount\n" + data, knows, 100, NONE, above=12)
    except BadInput:
        return
    naming = guessed(table.headers, {})
    for days, decimal in (("year", "point"), ("month", "comma")):
        read_lines([(r.line, r.cells) for r in table.records], Reading(naming, days, decimal))


@given(st.decimals(min_value=0, max_value=10**8, places=2), st.booleans())
def test_an_amount_that_was_written_is_read_back(value: Decimal, minus: bool) -> None:
    value = -value if minus else value
    assert cells.amount(f"{value:,.2f}", "point") == value
    swapped = f"{value:,.2f}".translate(str.maketrans(",.", ".,"))
    assert cells.amount(swapped, "comma") == value
