"""The steps of a stop: their order, what is done, what is next, what may not be skipped."""

from __future__ import annotations

from decimal import Decimal

import pytest

from portal.core.documents import WallAsQuoted
from portal.core.treatment.steps import FIRST, WORDS, Stop, needs, steps, too_soon

WALLS = [WallAsQuoted(f"1.1.{side}", "Main floor", side, Decimal(20), "20", quoted)
         for side, quoted in (("N", "open"), ("S", "sided"))]  # fmt: skip
STOP = Stop(WALLS, interior=True, crawl_space=True, batches=2)


def filled(*keys: str, **more: str) -> dict[str, str]:
    """An entry in which these steps are done."""
    values = {at: "open" if at == "found.1.1.N" else "sided" if at == "found.1.1.S" else "yes"
              for key in keys for at in needs(STOP, {})[key]}  # fmt: skip
    return values | more


def test_the_steps_stand_in_the_order_of_the_day_and_the_first_open_one_is_next() -> None:
    found = steps(STOP, filled("site", "cautions", "walls"), frozenset())

    assert [step.key for step in found] == list(WORDS)
    assert [step.key for step in found if step.done] == ["site", "cautions", "walls"]
    assert [step.key for step in found if step.next] == ["ready"]


def test_with_everything_entered_all_are_done_and_none_is_next() -> None:
    found = steps(STOP, filled(*WORDS), frozenset())

    assert all(step.done for step in found) and not any(step.next for step in found)


def test_a_field_of_spaces_is_not_done() -> None:
    assert not steps(STOP, filled(arrived="  "), frozenset())[0].done


def test_a_wall_found_otherwise_needs_a_photo_and_its_second_coat() -> None:
    values = filled("walls") | {"found.1.1.N": "sided", "found.1.1.S": "open"}

    asked = needs(STOP, values)
    before, after = (steps(STOP, values, shown)[3].done for shown in ({"1.1.N"}, {"1.1.N", "1.1.S"}))

    assert {"photo.1.1.N", "photo.1.1.S"} <= set(asked["walls"])
    assert "second.1.1.N.start" in asked["coats"] and "second.1.1.S.start" not in asked["coats"]
    assert (before, after) == (False, True)


@pytest.mark.parametrize("left", FIRST)
def test_nothing_is_sprayed_before_somebody_is_there_has_read_the_cautions_and_is_ready(left: str) -> None:
    values = filled(*(key for key in FIRST if key != left))

    said = too_soon(STOP, values, "first.1.1.N.start")

    assert said is not None and str(WORDS[left]) in str(said)
    assert too_soon(STOP, values, "first.1.1.N.end") is None
    assert too_soon(STOP, filled(*FIRST), "interior.start") is None


def test_the_respirator_is_asked_for_in_a_crawl_space_only() -> None:
    slab = Stop(WALLS, interior=True, crawl_space=False, batches=2)

    assert "ready.respirator" in needs(STOP, {})["ready"]
    assert "ready.respirator" not in needs(slab, {})["ready"]
