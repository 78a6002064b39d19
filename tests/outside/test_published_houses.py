"""Houses whose dimensions somebody else published, checked to the foot."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from portal.core.money.amount import rounded
from tests.core.houses import answered, by_area, first, level, measured, rectangle, rectangles

# ANSI/ASHRAE Standard 140, case L100 (F): one story, 57 x 27 ft, 1,539 ft2; interior partitions of
# 1,024 ft2 of wall at 8 ft, so 128 ft (D).
L100 = rectangles(rectangle(57, 27))


def test_case_l100_has_296_feet_of_wall() -> None:
    found = answered(level(L100, measured(128)))

    assert (found["feet"]["exterior"], found["feet"]["interior"], found["feet"]["total"]) == (
        "168.00",
        "128.00",
        "296.00",
    )
    assert found["levels"][0]["floor_area"] == "1539.00"


def test_case_l100_takes_what_common_practice_reckons() -> None:
    """A gallon to 100 lineal feet, one part of water, half an ounce of dye a finished gallon (C)."""
    found = answered(level(L100, measured(128)))["product"]

    assert (found["concentrate"], found["finished"], found["dye_floz"]) == ("2.96", "5.92", "2.96")


def test_case_l100_with_all_its_siding_on_gets_a_second_coat() -> None:
    """168 ft from inside again: (296 + 168) / 100 gal (D from F, by the rule C above)."""
    found = answered(level(L100, measured(128), "sided"))

    assert (found["feet"]["second_coat"], found["product"]["concentrate"]) == ("168.00", "4.64")


def test_the_textbook_residence_has_297_feet_of_wall() -> None:
    """Dagostino and Peterson, Estimating in Building Construction, chapter 13 (F): 50 x 24, 149 inside."""
    found = answered(level(rectangles(rectangle("50'", "24'-0\"")), measured(149)))["feet"]

    assert (found["exterior"], found["interior"], found["total"]) == ("148.00", "149.00", "297.00")


def test_the_two_story_prototype_has_its_feet_on_both_floors() -> None:
    """PNNL single-family prototype (F): 39.8 x 29.85 ft, two stories, 139.3 ft around each."""
    found = answered(level(rectangles(rectangle("39.8", "29.85")), measured(0), repeat=2))

    assert (found["levels"][0]["exterior"], found["feet"]["exterior"]) == ("139.30", "278.60")


def test_the_worked_example_of_the_floor_area_standard() -> None:
    """ANSI Z765 (F): 28 x 42 ft on two levels, 140 ft around each."""
    found = answered(
        level(rectangles(rectangle(28, 42)), measured(0)), level(rectangles(rectangle(28, 42)), measured(0))
    )

    assert [one["exterior"] for one in found["levels"]] == ["140.00", "140.00"]


def test_the_metric_test_cell() -> None:
    """BESTEST case 600 (F): 8 x 6 m, so 28 m around, which is 91.8635 ft."""
    found = answered(level(rectangles(rectangle("8 m", "6 m")), measured(0)))

    assert found["feet"]["exterior"] == "91.86"


def test_the_metric_test_cell_to_every_published_place() -> None:
    """28 m as 91.8635 ft: four places stand where an answer shows two."""
    exact = first(level(rectangles(rectangle("8 m", "6 m")))).survey.exterior

    assert rounded(exact, 4) == Decimal("91.8635")


def test_the_base_house_of_the_energy_workflows() -> None:
    """OpenStudio-HPXML base house (F): 1,350 ft2 and 150 ft around, which is 45 x 30 ft (D)."""
    found = answered(level(rectangles(rectangle(45, 30)), measured(0)))

    assert (found["feet"]["exterior"], found["levels"][0]["floor_area"]) == ("150.00", "1350.00")


PUBLISHED = {
    "ASHRAE 140 L100 (F)": (1539, 168),
    "Dagostino and Peterson (F)": (1200, 148),
    "PNNL prototype (area D)": ("1188.03", "139.3"),
    "OpenStudio-HPXML base house (F)": (1350, 150),
    "ANSI Z765 (area D)": (1176, 140),
}


@pytest.mark.parametrize(("area", "around"), PUBLISHED.values(), ids=PUBLISHED)
def test_the_feet_around_a_published_house_lie_in_the_band_of_its_area(area: Any, around: Any) -> None:
    found = answered(level(by_area(area), measured(0)))["feet"]

    assert Decimal(found["low"]) <= Decimal(around) <= Decimal(found["high"])


@pytest.mark.parametrize(
    ("area", "inside", "end"),
    [
        (1539, 128, "interior"),  # ASHRAE 140 L100: 0.083 ft to a square foot (D), the middle
        (1200, 149, "high"),  # Dagostino and Peterson: 0.124 (D), the high end
        ("2376.06", "148.50375", "low"),  # PNNL prototype: 0.0625 (D), the low end
    ],
)
def test_the_band_of_the_inside_walls_is_that_of_published_houses(area: Any, inside: Any, end: str) -> None:
    found = answered(level(measured(200, floor_area=area), {"by": "ratio"}))["feet"]
    reckoned = Decimal(found[end]) - (0 if end == "interior" else 200)

    # The published ratios are given to three places.
    assert abs(reckoned - Decimal(inside)) <= Decimal("0.0005") * Decimal(area)
