"""The whole estimate: the form of its answer, its notes, and the arithmetic shown."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.estimate import answer, estimate, steps
from portal.core.pricing.rates import read_rates
from portal.core.treatment.product import read_product
from tests.core.houses import (
    Document,
    answered,
    by_area,
    by_face,
    by_length,
    house,
    level,
    measured,
    read,
    rectangle,
    rectangles,
    walk,
    wrong,
)

RATIO = {"by": "ratio"}


def numbers(value: Any) -> list[Any]:
    """Everything in a document that is no object and no list."""
    if isinstance(value, dict):
        return [found for inner in value.values() for found in numbers(inner)]
    if isinstance(value, list):
        return [found for inner in value for found in numbers(inner)]
    return [value]


def test_the_answer_has_the_form_of_the_contract() -> None:
    found = answered(level(siding=by_face("sided", "wrapped")))

    assert list(found) == [
        "name",
        "basis",
        "feet",
        "levels",
        "product",
        "minutes",
        "crew_hours",
        "price",
        "notes",
    ]
    assert list(found["feet"]) == ["exterior", "interior", "total", "second_coat", "outside", "wrapped"]
    assert list(found["levels"][0]) == [
        "name",
        "repeat",
        "exterior",
        "interior",
        "floor_area",
        "sided",
        "wrapped",
        "open",
    ]
    assert list(found["product"]) == [
        "concentrate",
        "water",
        "finished",
        "dye_floz",
        "containers",
        "bought",
        "left",
        "container_cost",
        "batches",
    ]
    assert list(found["minutes"]) == [
        "setup",
        "prepare",
        "mix",
        "first_coat",
        "outside",
        "unwrap",
        "second_coat",
        "waiting",
        "cleanup",
        "elapsed",
    ]
    assert list(found["price"]) == ["currency", "lines", "subtotal", "discount", "tax", "total"]


def test_every_number_is_a_text() -> None:
    found = answered(level(repeat=2), level(by_area(900), RATIO))

    assert {type(value) for value in numbers(found)} == {str}


def test_an_estimate_has_a_band_of_feet_and_of_price() -> None:
    found = answered(level(by_area(1600), RATIO))

    assert found["basis"] == "estimated"
    assert (found["feet"]["low"], found["feet"]["total"], found["feet"]["high"]) == (
        "260.00",
        "302.51",
        "398.40",
    )
    assert (found["price_low"], found["price"]["total"], found["price_high"]) == (
        "395.00",
        "438.01",
        "553.08",
    )


def test_what_is_measured_has_no_band() -> None:
    assert not {"price_low", "price_high"} & set(answered(level())) and "low" not in answered(level())["feet"]


def test_the_ends_of_the_band_keep_the_siding_of_the_middle() -> None:
    rates = read_rates({"minimum": 0, "bands": [{"per_foot": 1}], "second_coat_per_foot": 1})
    found = answered(level(by_area(1600), measured(0), "sided"), rates=rates)

    assert (found["price_low"], found["price_high"]) == ("329.71", "369.71")


def test_a_level_s_figures_are_of_one_storey() -> None:
    (found,) = answered(level(rectangles(rectangle("40-6", 30)), siding="sided", repeat="3"))["levels"]

    assert found == {
        "name": "Main",
        "repeat": "3",
        "exterior": "141.00",
        "interior": "100.00",
        "floor_area": "1215.00",
        "sided": "141.00",
        "wrapped": "0.00",
        "open": "0.00",
    }


def test_the_gap_of_a_walk_is_told_even_where_there_is_none() -> None:
    assert answered(level(walk("E 40, N 30, W 40, S 30")))["levels"][0]["closing_gap"] == "0.00"
    assert answered(level(walk("E 40, N 30, W 40, S 29.6")))["levels"][0]["closing_gap"] == "0.40"


def test_figures_are_rounded_half_up_once() -> None:
    found = answered(level(measured("100.005"), measured("0.005")))

    assert (found["feet"]["exterior"], found["feet"]["interior"], found["feet"]["total"]) == (
        "100.01",
        "0.01",
        "100.01",
    )


def test_containers_are_those_that_are_bought() -> None:
    found = answered(level(measured(400), measured(196)))["product"]

    assert found["containers"] == [{"gallons": "1.00", "count": "1"}, {"gallons": "5.00", "count": "1"}]
    assert (found["bought"], found["left"], found["container_cost"]) == ("6.00", "0.04", "507.00")


NOTES: list[tuple[Document, str]] = [
    (level(), "counts once"),
    (level(siding="sided"), "counts 2 times"),
    (level(siding="sided"), "100 % of what a first coat takes"),
    (level(by_area(900)), "twice as long as wide (127.28 ft); a square has 120.00 ft"),
    (level(by_area(900)), "between 220.00 and 250.00 ft"),
    (level(interior=RATIO), "0.083 ft per square foot of floor (0.0625 to 0.124)"),
    (level(walk("E 40, N 30, W 40, S 29.6")), "ends 0.40 ft from where it began"),
    (level(rectangles(rectangle(10), rectangle(10, west="10' 0 1/2\""))), "less than an inch apart"),
    (level(interior=measured(601)), "more than half a foot of interior wall"),
    (level(measured(100, floor_area=800)), "cannot enclose"),
    (level(siding=by_length(sided=70, open="70.005")), "0.01 ft off"),
]


@pytest.mark.parametrize(("one", "words"), NOTES, ids=[words[:30] for _, words in NOTES])
def test_notes_say_what_was_assumed_and_what_looks_odd(one: Document, words: str) -> None:
    assert any(words in note for note in answered(one)["notes"])


QUIET = [
    level(),
    level(measured(101, floor_area=800)),
    level(interior=measured(600)),
    level(rectangles(rectangle(10), rectangle(10, west="10' 1\""))),
    level(walk("E 40, N 30, W 40, S 30")),
    level(siding=by_length(sided=70, open=70)),
]


@pytest.mark.parametrize("one", QUIET)
def test_what_is_as_usual_is_not_noted(one: Document) -> None:
    notes = answered(one)["notes"]

    assert not [note for note in notes if note.startswith("Main:")]


def test_a_share_of_the_second_coat_is_noted_as_the_office_set_it() -> None:
    notes = answered(level(siding="sided"), product=read_product({"second_coat_share": "0.6"}))["notes"]

    assert any("60 % of what a first" in note for note in notes) and any(
        "counts 1.6 times" in n for n in notes
    )


def test_a_house_of_too_many_batches_is_told_at_the_batch() -> None:
    tower = read(*[level(measured(5000), measured(5000), repeat=60)] * 12)

    assert [at for at, _ in wrong(lambda: estimate(tower))] == ["product.batch_gallons"]


HOUSES = {
    "plain": house(level()),
    "mixed": house(level(siding=by_face("sided", "wrapped"), repeat=2), level(by_area(900), RATIO)),
    "walked": house(level(walk("E 40 sided, N 30, W 40, S 29.6"))),
}


@pytest.mark.parametrize("document", HOUSES.values(), ids=HOUSES)
def test_the_arithmetic_shown_ends_in_the_figures_of_the_answer(document: Document) -> None:
    made = estimate(read(*document["levels"]))
    found = answer(made)
    shown = {(step.group, str(step.what)): step.result for step in steps(made)}

    assert shown["feet", "total"] == f"{found['feet']['total']} ft"
    assert shown["product", "concentrate"] == f"{found['product']['concentrate']} gal"
    assert shown["product", "marking dye"] == f"{found['product']['dye_floz']} fl oz"
    assert shown["product", "batches"] == str(len(found["product"]["batches"]))
    assert shown["minutes", "waiting to dry"] == f"{found['minutes']['waiting']} min"
    assert shown["minutes", "crew hours"] == f"{found['crew_hours']} h"
    assert shown["price", "total"] == f"{found['price']['total']} USD"


@pytest.mark.parametrize("document", HOUSES.values(), ids=HOUSES)
def test_every_figure_of_minutes_and_every_line_of_the_price_is_explained(document: Document) -> None:
    made = estimate(read(*document["levels"]))
    found = answer(made)
    results = [step.result for step in steps(made)]

    assert all(f"{value} min" in results for value in found["minutes"].values())
    assert all(f"{line['amount']} USD" in results for line in found["price"]["lines"])
    assert all(str(step.rule) and str(step.what) for step in steps(made))


@given(st.integers(10, 4000), st.integers(0, 4000), st.integers(0, 400))
def test_a_larger_house_never_takes_or_costs_less(outside: int, inside: int, more: int) -> None:
    small = answered(level(measured(outside), measured(inside)))
    large = answered(level(measured(outside), measured(inside + more)))

    for one, other in zip(
        numbers([small["product"]["concentrate"], small["price"]["total"], small["crew_hours"]]),
        numbers([large["product"]["concentrate"], large["price"]["total"], large["crew_hours"]]),
        strict=True,
    ):
        assert float(one) <= float(other)


def test_the_answer_is_the_same_every_time() -> None:
    document = house(level(by_area(977), RATIO, siding=by_length(sided="12-6", open="rest")))

    assert len({json.dumps(answered(*document["levels"])) for _ in range(5)}) == 1
