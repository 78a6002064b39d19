"""A file is read as what it is: encoding, delimiter, line ends, quoted cells, and where each row begins.

The numbered cases are the examples of RFC 4180 (Y. Shafranovich, "Common Format and MIME Type for
Comma-Separated Values (CSV) Files", October 2005), section 2, as its text has them.
"""

from __future__ import annotations

import io
import zipfile
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.errors import BadInput
from portal.core.sheets.table import MOST_ROWS
from portal.core.sheets.text import LARGEST_BYTES
from portal.core.sheets.written import csv_file, csv_text
from tests.core.sheets.sheets import cells, read, refused

AAA = ["aaa", "bbb", "ccc"]
ZYX = ["zzz", "yyy", "xxx"]

RFC_4180 = {
    "2.1 each record on a line of its own": ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [AAA, ZYX]),
    "2.2 the last line end may be missing": ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [AAA, ZYX]),
    "2.3 a header line": (
        "field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["field_name"] * 3, AAA, ZYX],
    ),
    "2.5 quotation marks or none": ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [AAA, ZYX]),
    "2.6 a line break within them": (
        '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ZYX],
    ),
    "2.7 a doubled quotation mark": ('"aaa","b""bb","ccc"\r\nzzz,yyy,xxx', [["aaa", 'b"bb', "ccc"], ZYX]),
}  # fmt: skip


@pytest.mark.parametrize("case", RFC_4180)
def test_the_examples_of_rfc_4180(case: str) -> None:
    text, expected = RFC_4180[case]

    assert cells(read(text)) == expected


def test_spaces_are_part_of_a_cell() -> None:
    # RFC 4180, section 2.4: "Spaces are considered part of a field and should not be ignored."
    assert cells(read("a , b\r\n x ,y \r\n")) == [["a ", " b"], [" x ", "y "]]


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_every_line_end_and_every_delimiter(end: str, delimiter: str) -> None:
    rows = [
        ["Lot", "Street", "Notes"],
        ["Lot 7", "Lime Kiln Lane", "two\nlines"],
        ["Lot 8", "Weir, Road", "a;b"],
    ]
    text = csv_text(rows, delimiter).replace("\r\n", end)

    table = read(text)

    assert table.delimiter == delimiter
    assert cells(table) == rows


@pytest.mark.parametrize(
    ("encoded", "name"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("cp1252", "Windows-1252"), ("utf-16", "UTF-16")],
)
def test_every_encoding_that_sheets_are_saved_in(encoded: str, name: str) -> None:
    table = read("Lot,Street\r\nLot 7,“Château” – 32½ é\r\n".encode(encoded))

    assert table.encoding == name
    assert table.records[0].cells == ("Lot 7", "“Château” – 32½ é")


def test_a_length_with_its_marks_needs_no_quotation() -> None:
    table = read("Lot\tWidth\tDepth\r\nLot 7\t32' 6\"\t27'-0\"\r\n")

    assert table.records[0].cells == ("Lot 7", "32' 6\"", "27'-0\"")


def test_blank_rows_are_passed_over_and_every_row_knows_its_line() -> None:
    table = read('\r\nLot,Notes\r\n,\r\nLot 1,"two\r\nlines"\r\n\r\nLot 2,\r\n')

    assert [(record.line, record.cells[0]) for record in table.records] == [(4, "Lot 1"), (7, "Lot 2")]


def test_a_comma_in_the_address_does_not_outvote_the_semicolons() -> None:
    table = read("Lot;Address;Town\nLot 1;1 Weir Road, rear, upper;Marlow Ferry\n")

    assert table.delimiter == ";"
    assert table.records[0].cells[1] == "1 Weir Road, rear, upper"


def test_the_reasons_of_a_file_that_came_back_are_left_out() -> None:
    table = read("Lot,Town,What to mend\r\nLot 1,Marlow Ferry,Town: This is missing.\r\n")

    assert cells(table) == [["Lot", "Town"], ["Lot 1", "Marlow Ferry"]]


def zipped() -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
    return made.getvalue()


OLE = bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 600  # the signature of [MS-CFB] 2.2, from memory


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (zipped(), "This is a spreadsheet's own file."),
        (OLE, "This is a spreadsheet's own file."),
        (b"%PDF-1.7\n", "This is a picture or a PDF"),
        (b"", "There is nothing in it."),
        (b"\xef\xbb\xbf \r\n", "There is nothing in it."),
        (b"Lot,Town\r\nLot\0 1,x\r\n", "Line 2 has a character that is no text."),
        (b"Lot,Town\r\nLot 1,\x07\r\n", "Line 2 has a character that is no text."),
        (b"Lot,Town\r\nLot \x81,x\r\n", "This is no text that can be read."),
        (b"\xff\xfeL", "This is no text that can be read."),
        ("Lot,Town\r\n", "There is no lot below the names of the columns."),
        ('Lot,Town\r\nLot 1,x\r\n"Lot 2,x\r\nLot 3,x\r\n', "The row that begins in line 3 cannot be read"),
        ('Lot,Town\r\n"Lot "2"",x\r\n', "The row that begins in line 2 cannot be read"),
        ("Lot,Town\r\n" + "x,y\r\n" * (MOST_ROWS + 1), "There are 501 rows; at most 500 go at once."),
        ("x," * 61 + "\r\n" + "y," * 61, "There are more than 60 columns."),
        ("x" * (LARGEST_BYTES + 1), "This is larger than 2 MB."),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told_with_what_would_be_right(data: bytes | str, words: str) -> None:
    assert refused(data).startswith(words)


def test_so_many_rows_are_not_too_many() -> None:
    assert len(read("Lot,Town\r\n" + "x,y\r\n" * MOST_ROWS).records) == MOST_ROWS


#: Any text that can stand in a file: no control characters but tab and line ends, no halves of characters.
TEXT = st.text(
    st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("\t\r\n\"',;=+-@ "), max_size=12
)


@given(st.data(), st.sampled_from(",;\t"))
def test_what_is_written_is_read_again_as_it_was(data: st.DataObject, delimiter: str) -> None:
    width = data.draw(st.integers(2, 5))
    row = st.lists(TEXT, min_size=width, max_size=width)
    # Headers of our own tell the delimiter, whatever stands in the rows; a row of blanks is no row.
    rows = [["Lot", "Town", "State", "Street", "Notes"][:width]]
    rows += data.draw(
        st.lists(row.filter(lambda cells: any(one.strip() for one in cells)), min_size=1, max_size=6)
    )

    table = read(csv_file(rows, delimiter))

    assert (table.delimiter, table.encoding) == (delimiter, "UTF-8")
    assert cells(table) == rows


@given(st.binary(max_size=300))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    with suppress(BadInput):
        assert read(data).records


@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    with suppress(BadInput):
        assert read(text.encode(errors="replace")).records
