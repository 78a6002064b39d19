"""What changed between two houses: every row and every column adds up, to the hundredth and to the cent."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.changes import NOTHING, Change, feet_changes, price_changes
from portal.core.estimate import answer, estimate
from portal.core.pricing.rates import read_rates
from portal.core.takeoff.reading import read_house
from tests.core.houses import by_length, house, level, measured, rectangle, rectangles

RATES = read_rates({"tax_percent": "7.25", "discount_percent": "3", "call_out": "35"})


def price(document: Any) -> dict[str, Any]:
    found: dict[str, Any] = answer(estimate(read_house(document), rates=RATES))["price"]
    return found


def feet(before: Any, after: Any) -> list[tuple[str, str, str, str]]:
    """Story and what, before, after, difference, as text."""
    rows = feet_changes(read_house(before), read_house(after))
    return [
        (f"{row.story} {row.what}".strip(), str(row.before), str(row.after), str(row.difference))
        for row in rows
    ]


def adds_up(rows: tuple[Change, ...]) -> bool:
    """Whether the rows before the last come to it, before and after and in between."""
    *parts, total = rows
    return (
        sum((row.before or NOTHING for row in parts), NOTHING) == total.before
        and sum((row.after or NOTHING for row in parts), NOTHING) == total.after
        and sum((row.difference for row in parts), NOTHING) == total.difference
    )


def test_feet_story_by_story() -> None:
    """By hand: 2 × (40 + 30) = 140 ft, and 2 × (44 + 30) = 148; three stories alike count three times."""
    before = house(level(name="Ground floor"), level(name="Upper floors", interior=measured(90), repeat=3))
    after = house(
        level(rectangles(rectangle(44, 30)), name="Ground floor"),
        level(name="Upper floors", interior=measured(80), repeat=3),
    )

    assert feet(before, after) == [
        ("Ground floor exterior", "140.00", "148.00", "8.00"),
        ("Ground floor interior", "100.00", "100.00", "0.00"),
        ("Upper floors exterior", "420.00", "420.00", "0.00"),
        ("Upper floors interior", "270.00", "240.00", "-30.00"),
        ("total", "930.00", "908.00", "-22.00"),
    ]


def test_a_story_that_came_and_one_that_went() -> None:
    first, second = level(name="Ground floor"), level(name="Second floor", interior=measured(60))

    assert feet(house(first), house(first, second))[2:4] == [
        ("Second floor exterior", "None", "140.00", "140.00"),
        ("Second floor interior", "None", "60.00", "60.00"),
    ]
    assert feet(house(first, second), house(first))[2:] == [
        ("Second floor exterior", "140.00", "None", "-140.00"),
        ("Second floor interior", "60.00", "None", "-60.00"),
        ("total", "440.00", "240.00", "-200.00"),
    ]


def test_a_story_keeps_to_its_name_when_one_is_put_below_it_and_to_its_place_when_it_is_renamed() -> None:
    main, lower = level(name="MAIN floor"), level(name="Basement", interior=measured(5))

    rows = feet_changes(read_house(house(level(name="Main floor"))), read_house(house(lower, main)))
    renamed = feet_changes(read_house(house(main)), read_house(house(level(name="Ground"))))

    assert [(row.story, row.before) for row in rows[:4]] == [
        ("Basement", None), ("Basement", None), ("MAIN floor", Decimal("140.00")),
        ("MAIN floor", Decimal("100.00")),
    ]  # fmt: skip
    assert {(row.story, row.was) for row in renamed[:2]} == {("Ground", "MAIN floor")}
    assert renamed[-1].difference == 0


def test_a_hundredth_that_rounding_leaves_has_a_row_of_its_own() -> None:
    """1 ft 4 in is 1.333… ft: three stories of it are 4 ft, and three times 1.33 are not."""
    thirds = [level(measured("1' 4\""), interior=measured(0), name=name) for name in ("A", "B", "C")]

    rows = feet_changes(read_house(house(*thirds)), read_house(house(*thirds[:2])))

    assert (rows[-2].what, rows[-2].before, rows[-2].after) == ("rounding", Decimal("0.01"), Decimal("0.01"))
    assert (rows[-1].before, rows[-1].after) == (Decimal("4.00"), Decimal("2.67"))
    assert adds_up(rows)


def test_price_line_by_line_by_hand() -> None:
    """By the default slices: 240 ft at 1.45 = 348.00; 340 ft = 300 at 1.45 + 40 at 1.20 = 483.00.

    With the call-out of 35.00 the first is 12.00 short of the minimum of 395.00.
    Discount 3 % of 395.00 and of 530.00: 11.85 and 15.90; tax 7.25 % of 383.15 and of 514.10.
    """
    before, after = (
        house(level()),
        house(level(interior=measured(200), siding=by_length(sided=20, open="rest"))),
    )

    rows = {
        row.what: (row.before, row.after, row.difference)
        for row in price_changes(price(before), price(after))
    }

    assert rows == {
        "treatment": (Decimal("348.00"), Decimal("483.00"), Decimal("135.00")),
        "second_coat": (None, Decimal("12.00"), Decimal("12.00")),
        "call_out": (Decimal("35.00"), Decimal("35.00"), Decimal("0.00")),
        "minimum": (Decimal("12.00"), None, Decimal("-12.00")),
        "discount": (Decimal("-11.85"), Decimal("-15.90"), Decimal("-4.05")),
        "tax": (Decimal("27.78"), Decimal("37.27"), Decimal("9.49")),
        "total": (Decimal("410.93"), Decimal("551.37"), Decimal("140.44")),
    }


lengths = st.integers(1, 4000).map(lambda n: f"{n // 12}' {n % 12}\"")
stories = st.builds(
    lambda name, outside, inside, repeat, sided: level(
        measured(outside), measured(inside), "sided" if sided else "wrapped", name=name, repeat=repeat
    ),
    st.sampled_from(["Ground floor", "Second floor", "Loft", "ground floor"]), lengths, lengths,
    st.integers(1, 4), st.booleans(),
)  # fmt: skip
houses = st.lists(stories, min_size=1, max_size=5).map(lambda found: house(*found))


@given(houses, houses)
def test_differences_always_add_up(before: Any, after: Any) -> None:
    of_feet = feet_changes(read_house(before), read_house(after))
    of_price = price_changes(price(before), price(after))

    assert adds_up(of_feet)
    assert adds_up(of_price)
    for changed, document in ((of_feet[-1].before, before), (of_feet[-1].after, after)):
        assert str(changed) == answer(estimate(read_house(document)))["feet"]["total"]
    assert (str(of_price[-1].before), str(of_price[-1].after)) == (
        price(before)["total"],
        price(after)["total"],
    )


@pytest.mark.parametrize("count", [1, 3])
def test_nothing_changed_is_nothing_everywhere(count: int) -> None:
    same = house(*[level(name=f"Story {n}") for n in range(count)])

    assert all(row.difference == 0 for row in feet_changes(read_house(same), read_house(same)))
    assert all(row.difference == 0 for row in price_changes(price(same), price(same)))
