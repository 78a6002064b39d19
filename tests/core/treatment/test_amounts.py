"""Gallons, batches and minutes of a house."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from portal.core.errors import BadInput
from portal.core.estimate import Estimate, estimate
from portal.core.treatment.crew import read_crew
from portal.core.treatment.product import read_product
from tests.core.houses import by_face, level, measured, read


def reckoned(*levels: dict[str, Any], crew: dict[str, Any] | None = None, **product: Any) -> Estimate:
    return estimate(read(*levels), product=read_product(product), crew=read_crew(crew or {}))


def test_a_gallon_of_concentrate_goes_a_hundred_feet() -> None:
    found = reckoned(level(measured(60), measured(40))).amounts

    assert (found.concentrate, found.water, found.finished, found.dye_floz) == (1, 1, 2, 1)


def test_a_second_coat_takes_its_share_more() -> None:
    sided = level(measured(60), measured(40), "sided")

    assert reckoned(sided).amounts.concentrate == Fraction("1.6")
    assert reckoned(sided, second_coat_share="0.5").amounts.concentrate == Fraction("1.3")
    assert reckoned(sided, second_coat_share=0).amounts.concentrate == 1


def test_the_mix_follows_the_product() -> None:
    found = reckoned(
        level(measured(60), measured(40)),
        feet_per_gallon=50, water_per_concentrate="1.5", dye_floz_per_finished_gallon="0.25",
    ).amounts  # fmt: skip

    assert (found.concentrate, found.water, found.finished, found.dye_floz) == (2, 3, 5, Fraction("1.25"))


def test_all_batches_are_full_but_the_last() -> None:
    found = reckoned(level(measured(168), measured(128))).amounts

    assert [batch.concentrate for batch in found.batches] == [1, 1, Fraction("0.96")]


def test_a_last_batch_can_be_full_too() -> None:
    found = reckoned(level(measured(150), measured(150))).amounts

    assert [batch.concentrate for batch in found.batches] == [1, 1, 1]


def test_the_rest_of_the_water_rinses_the_container() -> None:
    batch = reckoned(level(measured(60), measured(40)), first_water_share="0.6").amounts.last_batch

    assert (batch.water, batch.first_water, batch.rinse_water) == (1, Fraction("0.6"), Fraction("0.4"))


def test_a_thousand_batches_can_be_mixed_and_no_more() -> None:
    house = level(measured(60), measured(40))

    assert reckoned(house, batch_gallons="0.001").amounts.batch_count == 1000
    with pytest.raises(BadInput) as caught:
        reckoned(house, batch_gallons="0.000999")
    assert [problem.at for problem in caught.value.problems] == ["product.batch_gallons"]


def test_minutes_are_feet_at_the_pace_of_the_crew() -> None:
    found = reckoned(level(measured(120), measured(80), "wrapped")).minutes

    assert (found.setup, found.cleanup, found.mix) == (20, 15, 12)
    assert (found.prepare, found.first_coat, found.outside, found.unwrap) == (20, 30, 18, 24)
    assert (found.second_coat, found.waiting) == (0, 0)
    assert found.elapsed == 139 and found.crew_hours == Fraction(139, 60)


def test_more_sprayers_are_quicker_but_for_what_is_fixed() -> None:
    found = reckoned(level(measured(120), measured(80), "wrapped"), crew={"sprayers": 2}).minutes

    assert (found.setup, found.cleanup, found.mix) == (20, 15, 12)
    assert (found.prepare, found.first_coat, found.outside, found.unwrap) == (10, 15, 9, 12)
    assert found.elapsed == 93 and found.crew_hours == Fraction(93 * 2, 60)


def test_other_spraying_fills_the_time_a_first_coat_dries_in() -> None:
    faces = level(siding=by_face("sided", "wrapped", "open", "open"))
    found = reckoned(faces, dry_minutes=100).minutes

    # Other: (240 - 40) / 400 + 100 / 400 + 30 / 300 hours = 51 min; 100 - 51 = 49.
    assert found.waiting == 49


def test_each_storey_has_stretches_of_its_own() -> None:
    one = reckoned(level(measured(400), measured(0), "sided"), dry_minutes=60).minutes
    ten = reckoned(level(measured(40), measured(0), "sided", repeat=10), dry_minutes=60).minutes

    # 400 ft in one have to dry for an hour. Of ten pieces, the first is dry 6 min after the last is
    # sprayed; each of the others then 6 min later, of which the second coat before it takes 4.
    assert (one.waiting, ten.waiting) == (60, 6 + 9 * 2)
