"""Cells that begin like a formula come out inert, and come back in unchanged.

OWASP Application Security Verification Standard 5.0, 1.2.10: exported cells whose first character is
=, +, -, @, tab or NUL are escaped with a single quote, and CSV is quoted by RFC 4180, 2.6 and 2.7.
"""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.sheets.inert import guarded, unguarded
from portal.core.sheets.written import csv_text

LIVE = ["=1+1", "+1", "-5", "-5' 6\"", "@SUM(A1)", "\tx", "\rx", "\nx", "\0x", " =1+1", "＝1", "－1"]
INERT = ["", "5", "5-6", "Lot 7", "it's", "'quoted'", "'", "''", "32' 6\"", "a=b"]


@pytest.mark.parametrize("cell", LIVE)
def test_a_live_cell_gets_an_apostrophe_and_loses_it_again(cell: str) -> None:
    assert guarded(cell) == "'" + cell
    assert unguarded("'" + cell) == cell


@pytest.mark.parametrize("cell", INERT)
def test_any_other_cell_is_left_as_it_is(cell: str) -> None:
    assert guarded(cell) == cell == unguarded(cell)


@given(st.text(st.sampled_from("'=+-@\t\r\n\0＝ ab0"), max_size=8) | st.text(max_size=8))
def test_nothing_that_comes_out_is_live_and_all_of_it_comes_back(cell: str) -> None:
    out = guarded(cell)

    assert not out.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r", "\n", "\0"))
    assert unguarded(out) == cell


def test_a_written_file_has_no_live_cell_and_is_quoted_by_the_rules() -> None:
    text = csv_text([["a", 'say "so"'], ["=HYPERLINK(1)", "two\r\nlines"]])

    assert text == 'a,"say ""so"""\r\n\'=HYPERLINK(1),"two\r\nlines"\r\n'
    assert list(csv.reader(io.StringIO(text, newline="")))[1] == ["'=HYPERLINK(1)", "two\r\nlines"]
