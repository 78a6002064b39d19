"""Cost spread over the lines of an offer. Common practice, no source: the rules are our own; sums by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.answer import answer
from portal.core.documents import CostDocument, Line, Offer
from portal.core.estimate import estimate
from portal.core.pricing.margin import Costs, Way, plan, problems_of_costs, read_costs
from portal.core.pricing.offer import offer_from
from portal.core.pricing.rates import Rates
from portal.core.takeoff.reading import read_house
from portal.core.treatment.crew import Crew
from portal.core.treatment.product import Container, Product
from tests.parts.house import ranch

COSTS = Costs(Decimal("48"), Decimal("0.70"), Decimal("12.50"), Decimal("20"))
WAY = Way(30, Decimal("18"))
FOUND = estimate(read_house(ranch()))


def offered(rates: Rates, extras: tuple[Line, ...] = (), discount: str = "0") -> Offer:
    found = answer(estimate(read_house(ranch()), rates=rates))
    return offer_from(found["price"], extras, Decimal(discount), Decimal("7"))


def planned(offer: Offer | None = None, costs: Costs = COSTS, way: Way = WAY) -> CostDocument:
    return plan(FOUND, offer or offered(Rates(call_out=Fraction(35))), costs, way)


def parts(cost: CostDocument) -> dict[str, str]:
    return {part.what: str(part.amount) for part in cost.parts}


def test_a_ranch_by_hand() -> None:
    """296 ft, of which 57 get a second coat: 3.53 gal, so four containers of $92.

    The way: half an hour at $48, and twice 18 miles at $0.70.
    """
    cost = planned()
    on_site = FOUND.minutes.elapsed * 48 / 60

    assert parts(cost)["product"] == "368.00"
    assert parts(cost)["travel"] == "49.20"
    assert parts(cost)["other"] == "12.50"
    assert abs(Fraction(parts(cost)["hours"]) - on_site) <= Fraction(1, 200)
    assert cost.cost == Decimal(parts(cost)["hours"]) + Decimal("429.70")
    assert cost.known and not cost.at_most


def test_each_line_has_the_cost_of_its_own_work() -> None:
    cost = planned()
    lines = {line.what: line.cost for line in cost.lines}
    minutes = FOUND.minutes
    second = minutes.second_coat + minutes.waiting + minutes.mix * 57 / 353

    assert lines["call_out"] == Decimal("49.20")
    assert abs(Fraction(lines["second_coat"] or 0) - (second * 48 / 60 + 368 * Fraction(57, 353))) < Fraction(
        1, 50
    )
    assert abs(Fraction(lines["unwrap"] or 0) - minutes.unwrap * 48 / 60) < Fraction(1, 50)
    assert sum((line.cost or Decimal(0) for line in cost.lines), Decimal(0)) == cost.cost


def test_what_is_not_charged_is_the_treatments() -> None:
    free = Rates(second_coat_per_foot=Fraction(0), unwrap_per_foot=Fraction(0))

    cost = planned(offered(free))

    assert [line.what for line in cost.lines] == ["treatment"]
    assert cost.lines[0].cost == cost.cost


def test_tax_is_not_ours_and_a_discount_comes_off_each_line() -> None:
    extra = Line("extra", "Stairs", Decimal("50.00"))
    offer = offered(Rates(), (extra,), "10")

    cost = planned(offer)

    assert cost.revenue == offer.subtotal - offer.discount
    assert sum((line.revenue for line in cost.lines), Decimal(0)) == cost.revenue
    assert cost.lines[-1].revenue == Decimal("45.00")
    assert cost.lines[-1].cost is None


@pytest.mark.parametrize(
    ("costs", "way", "lacks", "known"),
    [
        (Costs(), WAY, ("crew_hour", "mile", "job"), False),
        (replace(COSTS, crew_hour=None), WAY, ("crew_hour",), False),
        (replace(COSTS, job=None), WAY, ("job",), False),
        (COSTS, Way(30, None), ("miles",), True),
        (replace(COSTS, mile=Decimal(0)), Way(30, None), (), True),
        (replace(COSTS, job=Decimal(0)), WAY, (), True),
    ],
)
def test_what_was_not_entered_is_unknown_and_not_nothing(
    costs: Costs, way: Way, lacks: tuple[str, ...], known: bool
) -> None:
    cost = planned(costs=costs, way=way)

    assert (cost.lacks, cost.known) == (lacks, known)


def test_containers_without_a_cost_are_unknown() -> None:
    free = estimate(read_house(ranch()), Product(containers=(Container(Fraction(1), Fraction(0)),)))

    cost = plan(free, offered(Rates()), COSTS, WAY)

    assert parts(cost)["product"] == "None"
    assert not cost.known


def test_the_floor_is_held_by_the_exact_figures() -> None:
    """100 less 80 is 20 percent to the hundredth; a cent more is under, though it still reads 20.0."""
    cost = planned()

    def at(spent: str) -> CostDocument:
        return CostDocument(**{name: getattr(cost, name) for name in CostDocument.__struct_fields__} | {
            "revenue": Decimal("100.00"), "cost": Decimal(spent)})  # fmt: skip

    assert not at("80.00").under
    assert at("80.01").under and at("80.01").percent == Decimal("20.0")
    assert at("110.00").percent == Decimal("-10.0")


def test_costs_are_read_from_the_firms_edition() -> None:
    firm = {"cost_crew_hour": "48.50", "cost_mile": 0, "cost_job": "", "margin_floor": "12.5"}

    assert read_costs(firm) == Costs(Decimal("48.50"), Decimal(0), None, Decimal("12.5"))
    assert read_costs({}) == Costs()
    assert problems_of_costs(firm) == []


@pytest.mark.parametrize(
    ("key", "typed"), [("cost_mile", "x"), ("margin_floor", "101"), ("cost_job", "-1"),
                       ("cost_crew_hour", "0.00001"), ("cost_mile", "1e9")]
)  # fmt: skip
def test_what_cannot_be_a_cost_is_said_at_its_field(key: str, typed: str) -> None:
    assert [problem.at for problem in problems_of_costs({key: typed})] == [key]


@given(
    st.lists(st.decimals(0, 500, places=2), min_size=4, max_size=4), st.integers(1, 4),
    st.decimals(0, 99, places=2),
)  # fmt: skip
def test_lines_always_add_up_to_the_whole(figures: list[Decimal], sprayers: int, discount: Decimal) -> None:
    found = estimate(read_house(ranch()), crew=Crew(sprayers=sprayers), rates=Rates(call_out=Fraction(35)))
    offer = offer_from(answer(found)["price"], (), discount, Decimal(7))

    cost = plan(found, offer, Costs(*figures[:3]), Way(45, figures[3]))

    assert sum((line.cost or Decimal(0) for line in cost.lines), Decimal(0)) == cost.cost
    assert sum((line.revenue for line in cost.lines), Decimal(0)) == cost.revenue
