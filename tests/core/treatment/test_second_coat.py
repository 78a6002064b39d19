"""When a second coat may start. Twenty minutes after the first: common practice of the trade, no source."""

from __future__ import annotations

from datetime import datetime, time
from decimal import Decimal

import pytest

from portal.core.treatment.evidence import earliest_second_coat, second_coat_from


@pytest.mark.parametrize(
    ("dry_minutes", "earliest"),
    [("20", (9, 25)), ("0", (9, 5)), ("7.5", (9, 13)), ("7.01", (9, 13)), ("60", (10, 5))],
)
def test_drying_is_counted_from_the_end_of_the_first_coat_and_never_rounded_off(
    dry_minutes: str, earliest: tuple[int, int]
) -> None:
    ended = datetime(2027, 5, 4, 9, 5)

    assert second_coat_from(ended, Decimal(dry_minutes)).time() == time(*earliest)


def test_it_is_told_for_the_wall_whose_first_coat_ended() -> None:
    raw = {"first.1.1.N.end": "09:05", "first.1.1.S.end": "10:00"}

    assert earliest_second_coat(raw, "1.1.N", Decimal(20)) == time(9, 25)


@pytest.mark.parametrize("typed", ["", "soon", "25:00", "9"])
def test_it_is_not_known_while_the_end_of_the_first_coat_cannot_be_read(typed: str) -> None:
    assert earliest_second_coat({"first.1.1.N.end": typed}, "1.1.N", Decimal(20)) is None


def test_it_is_not_known_while_the_first_coat_has_not_ended() -> None:
    assert earliest_second_coat({}, "1.1.N", Decimal(20)) is None
