"""Product and crew files: what is left out has its default, what is wrong is told at its path."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from portal.core.jsontext import Numeral, parse_json
from portal.core.treatment.containers import Container
from portal.core.treatment.crew import Crew, read_crew
from portal.core.treatment.product import Product, read_product
from tests.core.houses import wrong


def places(read: Callable[[object], object], document: object) -> list[str]:
    return [at for at, _ in wrong(lambda: read(document))]


def test_nothing_said_is_all_defaults() -> None:
    assert read_product({}) == Product() and read_crew({}) == Crew()


def test_the_defaults_are_those_of_the_trade() -> None:
    product = Product()

    assert (product.feet_per_gallon, product.water_per_concentrate, product.dye_floz_per_finished_gallon) == (
        100,
        1,
        0.5,
    )
    assert (product.dry_minutes, product.first_water_share, product.height_feet) == (20, 0.75, 2)
    assert [(c.gallons, c.cost) for c in product.containers] == [(1, 92), (5, 415)]


def test_a_value_is_read_exactly_as_a_number_or_a_text() -> None:
    exact = "0." + "1" * 60

    assert read_product({"feet_per_gallon": exact}).feet_per_gallon == Fraction(exact)
    assert read_product(parse_json(f'{{"feet_per_gallon": {exact}}}')).feet_per_gallon == Fraction(exact)
    assert read_product(parse_json('{"dry_minutes": 2.5e1}')).dry_minutes == 25
    assert read_crew({"spray_feet_per_hour": " 412.5 "}).spray_feet_per_hour == Fraction("412.5")


def test_containers_are_replaced_whole() -> None:
    found = read_product({"containers": [{"gallons": "2.5", "cost": 0}]})

    assert found.containers == (Container(Fraction(5, 2), Fraction(0)),)


@pytest.mark.parametrize("document", [[], None, "x", 5])
def test_a_file_must_hold_an_object(document: object) -> None:
    assert places(read_product, document) == ["product"] and places(read_crew, document) == ["crew"]


PRODUCT: list[tuple[str, Any]] = [
    ("feet_per_gallon", 0),
    ("feet_per_gallon", "-1"),
    ("feet_per_gallon", "100 ft"),
    ("water_per_concentrate", -1),
    ("dye_floz_per_finished_gallon", "-0.1"),
    ("second_coat_share", "2.01"),
    ("second_coat_share", "-0.1"),
    ("dry_minutes", "-1"),
    ("dry_minutes", "20 min"),
    ("dry_minutes", True),
    ("first_water_share", "1.01"),
    ("first_water_share", -1),
    ("batch_gallons", 0),
    ("batch_gallons", None),
    ("height_feet", "-2"),
    ("name", ""),
    ("name", 5),
    ("feet_per_gallon", "1e2"),
    ("feet_per_gallon", "1,000"),
    ("feet_per_gallon", "+100"),
    ("feet_per_gallon", Numeral("1e999999999")),
    ("feet_per_gallon", Numeral("1e-999999999")),
    ("feet_per_gallon", "5."),
    ("feet_per_gallon", "１００"),
    ("feet_per_gallon", []),
    ("feet", 3),
    ("feet_per_gallon", "1" * 5000),
    ("feet_per_gallon", float("nan")),
    ("containers", []),
    ("containers", {}),
    ("containers", [{"gallons": 1, "cost": 1}] * 13),
]


@pytest.mark.parametrize(("key", "value"), PRODUCT, ids=lambda value: repr(value)[:30])
def test_what_is_wrong_in_a_product_is_told_at_its_key(key: str, value: Any) -> None:
    assert places(read_product, {key: value}) == [f"product.{key}"]


@pytest.mark.parametrize(
    ("container", "keys"),
    [
        ({}, ["gallons", "cost"]),
        ({"gallons": 0, "cost": -1}, ["gallons", "cost"]),
        ({"gallons": 1, "cost": "free"}, ["cost"]),
        ({"gallons": 1, "cost": 1, "color": "red"}, ["color"]),
    ],
)
def test_what_is_wrong_in_a_container_is_told_at_its_key(container: dict[str, Any], keys: list[str]) -> None:
    shelf = [{"gallons": 5, "cost": 0}, container]

    assert places(read_product, {"containers": shelf}) == [f"product.containers[1].{key}" for key in keys]


def test_the_limits_themselves_are_allowed() -> None:
    assert read_product(
        {"second_coat_share": 2, "first_water_share": 1, "water_per_concentrate": 0, "dry_minutes": 0}
    )
    assert read_product({"second_coat_share": 0, "first_water_share": "0"})
    assert read_crew({"sprayers": 20, "setup_minutes": 0, "mix_minutes_per_batch": "0"}).sprayers == 20


CREW: list[tuple[str, Any]] = [
    ("sprayers", 0),
    ("sprayers", 21),
    ("sprayers", 1.5),
    ("sprayers", True),
    ("sprayers", "one"),
    ("setup_minutes", "-1"),
    ("cleanup_minutes", None),
    ("mix_minutes_per_batch", -1),
    ("prepare_feet_per_hour", 0),
    ("spray_feet_per_hour", "0"),
    ("outside_feet_per_hour", -5),
    ("unwrap_feet_per_hour", 0),
    ("second_coat_feet_per_hour", ""),
    ("wage", "20"),
]


@pytest.mark.parametrize(("key", "value"), CREW, ids=repr)
def test_what_is_wrong_in_a_crew_is_told_at_its_key(key: str, value: Any) -> None:
    assert places(read_crew, {key: value}) == [f"crew.{key}"]


def test_all_that_is_wrong_is_told_at_once() -> None:
    assert set(places(read_crew, {"sprayers": 0, "setup_minutes": "x", "wage": 1})) == {
        "crew.sprayers",
        "crew.setup_minutes",
        "crew.wage",
    }
