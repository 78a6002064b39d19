"""The siding clause: added is what was announced, off comes what was charged, and the minimum holds."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.money.amount import cents
from portal.core.pricing.clause import Agreed, Difference, differences, most_it_can_come_to, settle

D, NONE = Decimal, Decimal("0.00")
STATUSES = ("open", "wrapped", "sided")


@dataclass(frozen=True)
class Wall:
    key: str
    length: Fraction
    status: str


def agreed(walls: list[Wall], charged: str = "1000", minimum: str = "0", cap: str | None = None,
           second: str = "0.60", unwrap: str = "0.25") -> Agreed:  # fmt: skip
    most = D(cap) if cap is not None else most_it_can_come_to(walls, D(second))
    return Agreed(D(second), D(unwrap), most, D(charged), D(minimum))


def amounts(lines: tuple[Difference, ...]) -> list[tuple[str, Decimal]]:
    return [(line.key, line.amount) for line in lines]


@pytest.mark.parametrize(
    ("quoted", "found", "expected"),
    [
        ("open", "open", []), ("wrapped", "wrapped", []), ("sided", "sided", []), ("open", "wrapped", []),
        ("open", "sided", ["6.00"]), ("wrapped", "open", ["-2.50"]), ("wrapped", "sided", ["6.00", "-2.50"]),
        ("sided", "open", ["-6.00"]), ("sided", "wrapped", ["-6.00"]),
    ],
)  # fmt: skip
def test_ten_feet_found_otherwise(quoted: str, found: str, expected: list[str]) -> None:
    walls = [Wall("a", Fraction(10), quoted)]

    lines = settle(walls, {"a": found}, agreed(walls))

    assert amounts(lines) == [("a", D(amount)) for amount in expected]
    assert all(str(line.why) for line in lines)


def test_the_cap_is_kept_whatever_was_agreed() -> None:
    walls = [Wall("a", Fraction(10), "open"), Wall("b", Fraction(20), "open")]

    lines = settle(walls, {"a": "sided", "b": "sided"}, agreed(walls, cap="15.00"))

    assert amounts(lines) == [("a", D("6.00")), ("b", D("12.00")), ("cap", D("-3.00"))]
    assert str(lines[-1].why) == "The siding clause comes to 15.00 at most."


def test_three_walls_of_a_third_come_off_as_they_were_charged_together() -> None:
    """6.02 ft in three walls: each alone comes to 1.20, but the quote had rounded them together, to 3.61."""
    third = Fraction(602, 300)
    walls = [Wall(key, third, "sided") for key in "abc"]

    lines = settle(walls, dict.fromkeys("abc", "open"), agreed(walls))

    assert sum(amount for _, amount in amounts(lines)) == D("-3.61")
    assert {abs(amount - D("-1.20")) <= D("0.01") for _, amount in amounts(lines)} == {True}


walls_found = st.lists(
    st.tuples(
        st.fractions(Fraction(1, 100), 500, max_denominator=1200), st.sampled_from(STATUSES),
        st.sampled_from(STATUSES)
    ),
    min_size=1, max_size=12,
)  # fmt: skip
rates = st.decimals(0, 5, places=2)


@given(walls_found, rates, rates, st.decimals(0, 2000, places=2))
def test_the_owed_is_the_quoted_and_the_differences_and_never_below_the_minimum(
    found: list[tuple[Fraction, str, str]], second: Decimal, unwrap: Decimal, minimum: Decimal
) -> None:
    walls = [Wall(str(n), length, quoted) for n, (length, quoted, _) in enumerate(found)]
    feet = {status: sum(w.length for w in walls if w.status == status) for status in STATUSES}
    treatment = cents(sum(w.length for w in walls))
    charged = treatment + cents(feet["sided"] * Fraction(second)) + cents(feet["wrapped"] * Fraction(unwrap))
    terms = Agreed(second, unwrap, most_it_can_come_to(walls, second), charged, minimum)

    lines = settle(walls, {str(n): status for n, (_, _, status) in enumerate(found)}, terms)

    owed = max(charged, minimum) + sum((line.amount for line in lines), NONE)
    added = sum(
        (line.amount for line in lines if line.key not in ("minimum", "cap") and line.amount > 0), NONE
    )
    assert owed >= max(minimum, treatment)
    assert added <= terms.cap
    assert owed <= max(charged, minimum) + terms.cap
    if all(status == "sided" for _, _, status in found):
        # All found sided costs what the engine asks for it, but for the cents of walls rounded one by one.
        engine = max(minimum, treatment + cents(sum(w.length for w in walls) * Fraction(second)))
        assert abs(owed - engine) <= D("0.01") * (len(walls) + 1)
    if all(status == "open" for _, _, status in found):
        assert owed == max(minimum, treatment)


def test_a_quote_of_which_only_the_minimum_line_is_known() -> None:
    walls = [Wall("a", Fraction(10), "open"), Wall("b", Fraction(10), "sided")]

    more = differences(walls, {"a": "sided", "b": "sided"}, D("0.60"), D("0.25"), D("4.00"))
    less = differences(walls, {"a": "open", "b": "open"}, D("0.60"), D("0.25"), D("4.00"))
    without = differences(walls, {"a": "open", "b": "open"}, D("0.60"), D("0.25"), NONE)

    assert amounts(more) == [("a", D("6.00")), ("minimum", D("-4.00"))]
    assert amounts(less) == [("b", D("-6.00")), ("minimum", D("6.00"))]
    assert amounts(without) == [("b", D("-6.00"))]
