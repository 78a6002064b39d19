"""A month, however it is written (ISO 8601 and the ways of the country; common practice, no source)."""

from __future__ import annotations

from datetime import date

import pytest

from portal.core.cover.months import read_month
from portal.core.errors import BadInput


@pytest.mark.parametrize("typed", [
    "2027-07", "2027-7", "2027-07-09", "7/2027", "07/2027", "7/9/2027", "07-09-2027", "July 2027", "jul 2027",
    "Jul. 2027", "JULY 9, 2027", " July  9 2027 ",
])  # fmt: skip
def test_a_month_is_read(typed: str) -> None:
    assert read_month(typed, "m") == date(2027, 7, 1)


@pytest.mark.parametrize("typed", [
    "", "2027", "13/2027", "0/2027", "Ju 2027", "Julember 2027", "27-07", "²027-07",
    "2027-07-", "last summer",
])  # fmt: skip
def test_what_is_no_month_is_told_so(typed: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_month(typed, "m")
    assert [problem.at for problem in caught.value.problems] == ["m"]
