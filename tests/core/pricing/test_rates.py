"""A rates file: what is left out has its default, what is wrong is told at its path."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from portal.core.pricing.rates import Band, Rates, read_rates
from tests.core.houses import wrong


def places(document: object) -> list[str]:
    return [at for at, _ in wrong(lambda: read_rates(document))]


def band(end: Any, rate: Any = "1.00") -> dict[str, Any]:
    return {"up_to_feet": end, "per_foot": rate}


LAST = {"per_foot": "0.5"}


def test_nothing_said_is_all_defaults() -> None:
    assert read_rates({}) == Rates()


def test_bands_are_replaced_whole() -> None:
    assert read_rates({"bands": [LAST]}).bands == (Band(None, Fraction(1, 2)),)
    assert len(read_rates({"bands": [*(band(n + 1) for n in range(11)), LAST]}).bands) == 12


BANDS: list[tuple[Any, list[str]]] = [
    ([], [""]),
    ({}, [""]),
    ([LAST] * 13, ["", *(f"[{i}].up_to_feet" for i in range(12))]),
    ([band(300)], ["[0].up_to_feet"]),
    ([LAST, LAST], ["[0].up_to_feet"]),
    ([band(300), band(300), LAST], ["[1].up_to_feet"]),
    ([band(300), band("299.99"), LAST], ["[1].up_to_feet"]),
    ([band(0), LAST], ["[0].up_to_feet"]),
    ([band(-1), LAST], ["[0].up_to_feet"]),
    ([band("many"), LAST], ["[0].up_to_feet"]),
    ([band(300, "-1"), {}], ["[0].per_foot", "[1].per_foot"]),
    ([band(300), {"per_foot": 1, "rate": 1}], ["[1].rate"]),
    ([band(300), "open"], ["[1]"]),
    ([{"up_to_feet": 300}, LAST], ["[0].per_foot"]),
]


@pytest.mark.parametrize(("bands", "found"), BANDS)
def test_bands_ascend_and_only_the_last_is_open(bands: Any, found: list[str]) -> None:
    assert sorted(places({"bands": bands})) == sorted(f"rates.bands{place}" for place in found)


VALUES: list[tuple[str, Any]] = [
    ("currency", "usd"),
    ("currency", "US"),
    ("currency", "USDX"),
    ("currency", "ÜSD"),
    ("currency", 5),
    ("currency", "USD\n"),
    ("currency", None),
    ("minimum", "-0.01"),
    ("minimum", True),
    ("second_coat_per_foot", "a"),
    ("unwrap_per_foot", -1),
    ("call_out", "-5"),
    ("discount_percent", "100.01"),
    ("discount_percent", -1),
    ("tax_percent", 101),
    ("tax_percent", "8,25"),
    ("vat", 1),
]


@pytest.mark.parametrize(("key", "value"), VALUES, ids=repr)
def test_what_is_wrong_is_told_at_its_key(key: str, value: Any) -> None:
    assert places({key: value}) == [f"rates.{key}"]


@pytest.mark.parametrize("document", [[], None, 3, "x"])
def test_a_file_must_hold_an_object(document: object) -> None:
    assert places(document) == ["rates"]


def test_percents_go_from_nothing_to_all() -> None:
    assert (
        read_rates({"discount_percent": 100, "tax_percent": "0", "currency": "CAD"}).discount_percent == 100
    )
