"""How long a record is kept, against the terms of years that states and the warranty ask for."""

from __future__ import annotations

from datetime import date

import pytest

from portal.core.cover.kept import FEWEST_YEARS, USUAL_YEARS, kept_until

DAY = date(2027, 3, 9)


def test_the_terms_of_years() -> None:
    """40 CFR 171.303(b)(7): two years. Indiana: five; South Carolina: the longer of five and the warranty.

    Texas and Georgia ask for two, Florida for two or three, California for three: five is enough for all.
    """
    assert (FEWEST_YEARS, USUAL_YEARS) == (2, 5)
    assert max((2, 2, 3, 3, 5)) == USUAL_YEARS


@pytest.mark.parametrize(
    ("years", "warranty_years", "warranty_ends", "until"),
    [
        (5, 1, None, date(2032, 3, 8)),
        (None, 1, None, date(2032, 3, 8)),
        (10, 1, date(2028, 3, 8), date(2037, 3, 8)),
        (5, 10, None, date(2037, 3, 8)),
        (5, 1, date(2033, 6, 1), date(2033, 6, 1)),
        (1, 1, date(2028, 3, 8), date(2029, 3, 8)),
    ],
)
def test_the_longer_of_setting_and_warranty_counts(
    years: int | None, warranty_years: int, warranty_ends: date | None, until: date
) -> None:
    assert kept_until(DAY, years, warranty_years, warranty_ends) == until


def test_under_a_promise_for_the_life_of_the_house_a_record_is_kept_for_good() -> None:
    assert kept_until(DAY, 5, None, None) is None


def test_a_leap_day_ends_with_february() -> None:
    assert kept_until(date(2028, 2, 29), 5, 1, None) == date(2033, 2, 28)
