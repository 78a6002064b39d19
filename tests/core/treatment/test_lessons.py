"""What finished jobs teach, by numbers worked out by hand and by Python's own statistics."""

from __future__ import annotations

import random
import statistics
from fractions import Fraction
from typing import Any

import pytest

from portal.core.treatment.crew import Crew
from portal.core.treatment.lessons import FEWEST, Finished, crew_from, lessons, product_from, spread
from portal.core.treatment.product import Product

NOW = Product(name="A")


def job(**changes: Any) -> Finished:
    """300 ft without a second coat: 3 gal and 120 minutes planned, and used."""
    known: dict[str, Any] = {
        "technician": "Noor", "product": "A", "crew_edition": 1, "planned": 3, "used": 3,
        "planned_minutes": 120, "minutes": 120, "feet": 300, "second_feet": 0, "share": 1,
        "interior_feet": 120, "floor_area": 1200,
    } | changes  # fmt: skip
    exact = {k: Fraction(v) if isinstance(v, int | str) and k not in ("technician", "product", "crew_edition")
             else v for k, v in known.items()}  # fmt: skip
    return Finished(**{"as_quoted": True, "interior_measured": True} | exact)


def test_a_spread_worked_by_hand() -> None:
    """1, 2, 4, 8: halfway between 2 and 4 is 3; a quarter of the way (place 0.75) is 1.75, three (2.25) 5."""
    found = spread(map(Fraction, (4, 1, 8, 2)))

    assert found is not None
    assert (found.jobs, found.least, found.lower, found.median, found.upper, found.most) == (
        4, 1, Fraction("1.75"), 3, 5, 8,
    )  # fmt: skip


@pytest.mark.parametrize("count", [2, 3, 4, 5, 10, 101])
def test_quartiles_are_those_of_pythons_statistics(count: int) -> None:
    """`statistics.quantiles(n=4, method="inclusive")` and `median` of the standard library."""
    draw = random.Random(count)
    values = [Fraction(draw.randrange(1, 10_000), 100) for _ in range(count)]

    found = spread(values)

    assert found is not None
    assert [found.lower, found.median, found.upper] == statistics.quantiles(values, n=4, method="inclusive")
    assert found.median == statistics.median(values)
    assert (found.least, found.most) == (min(values), max(values))


def test_one_job_is_its_own_spread_and_none_has_none() -> None:
    one = spread([Fraction(7)])

    assert one is not None and {one.least, one.lower, one.median, one.upper, one.most} == {7}
    assert spread([]) is None


def test_jobs_are_told_by_product_all_first_and_by_technician() -> None:
    found = lessons([job(technician="Rosa", used=4), job(), job(product="B")])

    assert [(one.product, one.technician, one.jobs) for one in found] == [
        ("A", "", 2), ("A", "Noor", 1), ("A", "Rosa", 1), ("B", "", 1), ("B", "Noor", 1),
    ]  # fmt: skip
    assert found[2].concentrate is not None and found[2].concentrate.median == Fraction(4, 3)


def test_coverage_and_share_worked_by_hand() -> None:
    """300 ft took 2.5 gal: 120 ft a gallon. 300 ft with 120 ft of second coat took 3 gal: the second coat
    took half a gallon, where a first would have taken a whole one: a share of 0.5."""
    plain = [job(used="2.5")] * FEWEST
    coated = [job(used=3, second_feet=120)] * FEWEST

    made = product_from([*plain, *coated], NOW)

    assert made is not None
    assert (made.feet_per_gallon, made.second_coat_share) == (120, Fraction(1, 2))


def test_without_plain_jobs_enough_the_share_stays_as_it_is() -> None:
    """300 ft and 120 ft of second coat at a share of 1 with 3.5 gal: 420 / 3.5 = 120 ft a gallon."""
    made = product_from([job(used="3.5", second_feet=120)] * FEWEST, NOW)

    assert made is not None
    assert (made.feet_per_gallon, made.second_coat_share) == (120, NOW.second_coat_share)


def test_a_second_coat_that_seems_to_have_taken_less_than_nothing_took_nothing() -> None:
    made = product_from([*[job()] * FEWEST, *[job(used=2, second_feet=120)] * FEWEST], NOW)

    assert made is not None and made.second_coat_share == 0


def test_too_few_jobs_or_those_of_another_product_teach_nothing() -> None:
    assert product_from([job()] * (FEWEST - 1), NOW) is None
    assert product_from([job(product="B")] * FEWEST, NOW) is None
    assert crew_from([job()] * (FEWEST - 1), Crew(), 1) is None
    assert crew_from([job(crew_edition=2)] * FEWEST, Crew(), 1) is None


def test_a_crew_that_takes_a_quarter_longer_gets_slower_figures() -> None:
    """150 of 120 minutes: by 1.25. 400 ft an hour become 320, 20 minutes 25, 6 minutes 7.5."""
    made = crew_from([job(minutes=150)] * FEWEST, Crew(), 1)

    assert made is not None
    assert (made.spray_feet_per_hour, made.setup_minutes, made.mix_minutes_per_batch) == (
        320, 25, Fraction("7.5"),
    )  # fmt: skip
    assert made.sprayers == Crew().sprayers


def test_what_was_found_otherwise_than_quoted_says_nothing_of_the_plan() -> None:
    found = lessons([job(as_quoted=False, used=6, minutes=300)])[0]

    assert found.concentrate is None and found.minutes is None
    assert found.feet_per_gallon is not None and found.feet_per_gallon.median == 50


def test_interior_feet_reckoned_from_the_floor_teach_nothing_about_it() -> None:
    measured, reckoned = lessons([job()])[0], lessons([job(interior_measured=False)])[0]

    assert measured.interior is not None and measured.interior.median == Fraction(1, 10)
    assert reckoned.interior is None
