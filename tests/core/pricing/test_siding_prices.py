"""What siding adds, wall by wall, against two whole runs of the engine and against a sum done by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.estimate import Estimate, estimate
from portal.core.pricing.rates import read_rates
from portal.core.pricing.siding_prices import SidingPrice, siding_prices
from portal.core.takeoff.house import FACES, STATUSES
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import FACE_MARKS


def house(siding: Any, repeat: int = 1, interior: str = "128") -> dict[str, Any]:
    """ANSI/ASHRAE Standard 140, case L100: 57 by 27 ft, 128 ft of interior walls."""
    rectangle = {"west": 0, "south": 0, "width": "57'", "depth": "27'"}
    return {"name": "L100", "levels": [{
        "name": "Ground floor", "repeat": repeat, "outline": {"by": "rectangles", "rectangles": [rectangle]},
        "interior": {"by": "measured", "length": interior}, "siding": siding,
    }]}  # fmt: skip


def run(siding: Any, repeat: int = 1, **rates: str) -> Estimate:
    return estimate(read_house(house(siding, repeat)), rates=read_rates(rates))


def by_mark(found: Estimate) -> dict[str, SidingPrice]:
    return {one.mark: one for one in siding_prices(found)}


def test_siding_on_one_face_adds_its_second_coat() -> None:
    """57 ft at $0.60 is $34.20; with 8.25 % tax on it $37.02 (429.20 -> 464.609, 463.40 -> 501.6305)."""
    north = by_mark(run("open"))["N"]
    assert north.changes == {"open": Decimal(0), "wrapped": Decimal("14.25"), "sided": Decimal("34.20")}
    assert north.feet == 57 and north.status == "open"
    taxed = by_mark(run("open", tax_percent="8.25"))["N"]
    assert taxed.changes["sided"] == Decimal("37.02")


def test_a_face_of_two_stories_counts_twice() -> None:
    assert by_mark(run("open", repeat=2))["N"].changes["sided"] == Decimal("68.40")


def test_all_around_is_every_wall_of_the_level() -> None:
    """168 ft at $0.60."""
    assert by_mark(run("open"))["all"].changes["sided"] == Decimal("100.80")


def test_taking_the_siding_off_saves_what_it_added() -> None:
    assert by_mark(run("sided"))["N"].changes["open"] == Decimal("-34.20")


def test_what_the_minimum_charge_covers_adds_nothing() -> None:
    covered = by_mark(run("open", minimum="5000"))["N"]
    assert covered.changes["sided"] == Decimal(0) and covered.covered
    assert not by_mark(run("open"))["N"].covered


STATUS = st.sampled_from(STATUSES)


@given(st.tuples(STATUS, STATUS, STATUS, STATUS), st.sampled_from(FACES), STATUS,
       st.integers(1, 4), st.sampled_from(["0", "395", "900"]), st.sampled_from(["0", "7.25"]))  # fmt: skip
def test_each_change_is_the_difference_of_two_runs_of_the_engine(
    now: tuple[str, str, str, str], face: str, then: str, repeat: int, minimum: str, tax: str
) -> None:
    siding = {"by": "face"} | dict(zip(FACES, now, strict=True))
    before = run(siding, repeat, minimum=minimum, tax_percent=tax)
    after = run(siding | {face: then}, repeat, minimum=minimum, tax_percent=tax)
    told = by_mark(before)[FACE_MARKS[face]]
    assert told.changes[then] == after.price.total - before.price.total
    assert told.changes[siding[face]] == 0
    everywhere = run(then, repeat, minimum=minimum, tax_percent=tax)
    assert by_mark(before)["all"].changes[then] == everywhere.price.total - before.price.total


@pytest.mark.parametrize("siding", [{"by": "length", "sided": "60", "open": "rest"}])
def test_siding_by_length_is_told_by_its_parts(siding: Any) -> None:
    """The open part is 168 - 60 = 108 ft, at $0.60 a foot $64.80."""
    found = by_mark(run(siding))
    assert found["open"].changes["sided"] == Decimal("64.80")
    assert found["sided"].changes["open"] == Decimal("-36.00")
