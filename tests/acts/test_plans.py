"""A builder's house plans: made, entered anew, copied, renamed, retired; what a lot remembers."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from portal.acts import asking, plan_views, plans
from portal.acts.parts import Actor
from portal.acts.plan_views import Origin
from portal.core.errors import BadInput, NotAllowed, NotFound, Overtaken
from portal.store import plans as kept
from portal.store.tables import HousePlan, Lot, PlanEdition
from tests.parts.at_once import at_once
from tests.parts.house import House, ranch
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow


def make(house: House, name: str = "The Cobble", by: Actor | None = None, like: Any = None) -> str:
    """A plan that was made."""
    return plans.make(house.parts, by or house.builder, name, like or ranch(), "", house.key())


def view(house: House, plan: str, by: Actor | None = None) -> plan_views.PlanView:
    return plan_views.plan_view(house.parts, by or house.builder, plan)


def next_edition(house: House, plan: str, interior: str = "140", remark: str = "") -> int:
    version = view(house, plan).version
    return plans.enter_edition(
        house.parts, house.builder, plan, version, ranch(interior=interior), remark, house.key()
    )


def start(house: House, plan: str, *, number: int | None = None, flipped: bool = False) -> str:
    """A lot that was asked for from a plan."""
    begun = plan_views.start(house.parts, house.builder, plan, number, flipped=flipped)
    asked = house.lot_asked(house=begun.house)
    return asking.ask(
        house.parts, house.builder, asked, house.key(), begun.edition_id, mirrored=begun.mirrored
    )


def origin(house: House, lot: str) -> Origin:
    found = house.sheet(lot).plan
    assert found is not None
    return found


def test_a_plan_shows_in_the_list_with_todays_feet_and_price_and_the_lots_made_from_it(house: House) -> None:
    """ANSI/ASHRAE Standard 140, case L100: 168 ft around, 128 ft of interior walls."""
    plan = make(house)
    start(house, plan)
    lot = start(house, plan, flipped=True)

    (row,) = plan_views.list_plans(house.parts, house.builder)

    assert (row.name, row.edition, row.feet, row.lots, row.retired) == (
        "The Cobble",
        1,
        "296.00",
        2,
        False,
    )
    assert row.price == house.sheet(lot).takeoff.estimate["price"]["total"]
    assert "plan made" in house.verbs()


def test_an_edition_is_added_and_never_edited(house: House) -> None:
    plan = make(house)

    assert next_edition(house, plan, remark="  Pantry wall moved.  ") == 2

    newest, first = view(house, plan).editions
    assert (newest.number, newest.note, newest.entered_by) == (2, "Pantry wall moved.", "Harriet Finch")
    assert first.house["levels"] == ranch()["levels"]
    assert [newest.house["name"], first.house["name"]] == ["The Cobble", "The Cobble"]


def test_the_same_house_again_is_no_new_edition_but_another_siding_is(house: House) -> None:
    plan = make(house)
    again = partial(plans.enter_edition, house.parts, house.builder, plan)

    said = refusal(lambda: again(view(house, plan).version, ranch(), "", house.key()))

    assert said == "This is edition 1 as it stands: nothing is different."
    assert again(view(house, plan).version, ranch("wrapped"), "", house.key()) == 2


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("", "This is missing."),
        ("   ", "This is missing."),
        ("x" * 201, "At most 200 characters, please."),
        ("Plan\x00", "There is a character in here that cannot be printed."),
        ("the  COBBLE ", "There is a house plan of this name already."),
    ],
)
def test_a_name_that_cannot_be_is_told_at_its_field(lite: House, name: str, said: str) -> None:
    plan, other = make(lite), make(lite, "The Fallow")
    version = view(lite, other).version

    acts = (
        lambda: make(lite, name),
        lambda: plans.copy(lite.parts, lite.builder, plan, 1, name, lite.key()),
        lambda: plans.rename(lite.parts, lite.builder, other, version, name, lite.key()),
    )
    assert [problems(act) for act in acts] == [{"name": said}] * 3
    assert lite.rows(HousePlan) == 2


def test_a_plan_may_be_renamed_to_another_writing_of_its_own_name(lite: House) -> None:
    plan = make(lite)

    plans.rename(lite.parts, lite.builder, plan, view(lite, plan).version, "THE  Cobble", lite.key())

    assert view(lite, plan).name == "THE Cobble"


def test_a_house_that_cannot_be_is_told_at_its_path_and_keeps_no_plan(lite: House) -> None:
    assert list(problems(lambda: make(lite, like=ranch(interior="some")))) == ["levels[0].interior.length"]
    assert (lite.rows(HousePlan), lite.rows(PlanEdition)) == (0, 0)


def test_a_copy_starts_from_the_edition_it_was_made_of_and_goes_its_own_way(house: House) -> None:
    plan = make(house)
    next_edition(house, plan)

    copied = plans.copy(house.parts, house.builder, plan, 1, "The Cobble, deep garage", house.key())
    next_edition(house, copied, "150")

    assert [edition.number for edition in view(house, copied).editions] == [2, 1]
    assert view(house, copied).editions[1].house["levels"] == ranch()["levels"]
    assert view(house, copied).editions[1].note == "Copied from The Cobble, edition 1."
    assert view(house, plan).newest.house["levels"] == ranch(interior="140")["levels"]


def test_a_retired_plan_is_not_offered_its_lots_keep_it_and_it_can_be_brought_back(house: House) -> None:
    plan = make(house)
    lot = start(house, plan)
    who = house.parts, house.builder

    plans.retire(*who, plan, view(house, plan).version, house.key())

    assert plan_views.offered(*who) == ()
    assert refusal(lambda: plan_views.start(*who, plan)) == (
        "The Cobble is retired and no longer offered. Bring it back first."
    )
    assert refusal(lambda: next_edition(house, plan)) == (
        "The Cobble is retired. Bring it back before you enter an edition of it."
    )
    assert list(problems(lambda: make(house)).values()) == [
        "A retired house plan has this name. Bring that one back, or choose another name."
    ]
    assert origin(house, lot).plan == "The Cobble"
    assert [row.retired for row in plan_views.list_plans(*who)] == [True]

    plans.bring_back(*who, plan, view(house, plan).version, house.key())

    assert plan_views.offered(*who) == ((plan, "The Cobble"),)
    assert [verb for verb in house.verbs() if verb.startswith("plan")] == [
        "plan made", "plan retired", "plan brought back"
    ]  # fmt: skip


def test_a_form_on_its_way_when_the_plan_was_retired_is_not_lost(house: House) -> None:
    plan = make(house)
    begun = plan_views.start(house.parts, house.builder, plan)
    plans.retire(house.parts, house.builder, plan, view(house, plan).version, house.key())

    lot = asking.ask(
        house.parts, house.builder, house.lot_asked(house=begun.house), house.key(), begun.edition_id
    )

    assert origin(house, lot).edition == 1


def test_a_lot_remembers_its_edition_when_a_newer_one_is_entered(house: House) -> None:
    plan = make(house)
    first = start(house, plan)
    next_edition(house, plan)
    second, older = start(house, plan), start(house, plan, number=1)

    assert [origin(house, lot).edition for lot in (first, second, older)] == [1, 2, 1]
    assert not any(origin(house, lot).changed for lot in (first, second, older))
    assert {made.id: made.edition for made in view(house, plan).lots} == {first: 1, second: 2, older: 1}


def test_a_mirrored_lot_measures_and_costs_what_the_plan_does(house: House) -> None:
    plan = make(house)

    plain, flipped = house.sheet(start(house, plan)), house.sheet(start(house, plan, flipped=True))

    assert plain.takeoff.estimate["feet"] == flipped.takeoff.estimate["feet"]
    assert plain.takeoff.estimate["price"] == flipped.takeoff.estimate["price"]
    assert plain.takeoff.house["levels"][0]["siding"]["east"] == "wrapped"
    assert flipped.takeoff.house["levels"][0]["siding"]["west"] == "wrapped"
    assert (plain.plan and plain.plan.mirrored, flipped.plan and flipped.plan.mirrored) == (False, True)


@pytest.mark.parametrize("flipped", [False, True])
def test_siding_is_the_lots_own_and_other_walls_are_a_change_since(house: House, flipped: bool) -> None:
    lot = start(house, make(house), flipped=flipped)

    def change(levels: dict[str, Any]) -> bool:
        asked = house.lot_asked(house=levels)
        asking.change(house.parts, house.builder, lot, house.version(lot), asked)
        return origin(house, lot).changed

    before = origin(house, lot).changed

    assert [before, change(ranch("sided")), change(ranch(interior="130")), change(ranch())] == [
        False, False, True, False
    ]  # fmt: skip
    assert origin(house, lot).edition == 1


def test_a_change_by_the_office_is_seen_too_and_asking_again_keeps_the_plan(house: House) -> None:
    lot = start(house, make(house))
    asking.change(
        house.parts, house.office, lot, house.version(lot), house.lot_asked(house=ranch(interior="99"))
    )
    house.sent(house.approved(house.to_check(lot)))

    asking.ask_again(house.parts, house.builder, lot, house.version(lot), house.lot_asked())

    assert origin(house, lot) == replace(origin(house, lot), edition=1, changed=False)


def test_a_lots_takeoff_is_kept_as_a_plan(house: House) -> None:
    lot = house.asked(house=ranch(interior="77"))

    plan = plans.save_lot(house.parts, house.builder, lot, "As built", house.key())

    assert view(house, plan).newest.house["levels"] == ranch(interior="77")["levels"]
    assert view(house, plan).newest.note.startswith("Kept from the takeoff of Lot ")
    assert house.sheet(lot).plan is None


def test_what_changed_between_two_editions_by_todays_rates(house: House) -> None:
    """By hand: 12 ft more of interior walls at 1.45 and 1.20 a foot, and 7 % tax on it.

    296 ft are 429.20; 308 ft are 300 × 1.45 + 8 × 1.20 = 444.60; so 15.40, and 16.48 with its tax.
    """
    before, after = ranch("open"), ranch("open", interior="140")

    found = plan_views.changes(house.parts, house.builder, before, after)

    assert found is not None
    assert [(row.what, row.difference) for row in found.feet] == [
        ("exterior", Decimal("0.00")), ("interior", Decimal("12.00")), ("total", Decimal("12.00")),
    ]  # fmt: skip
    assert {row.what: row.difference for row in found.price} == {
        "treatment": Decimal("15.40"), "call_out": Decimal("0.00"), "tax": Decimal("1.08"),
        "total": Decimal("16.48"),
    }  # fmt: skip
    house.enter("rates", {"bands": [{"per_foot": "2.00"}]})
    now = plan_views.changes(house.parts, house.builder, before, after)
    assert now is not None and now.price[-1].difference == Decimal("24.00")


# Nobody else's, at once, and twice.


def test_another_builders_plan_is_not_there_at_all(house: House) -> None:
    plan, lot = make(house), house.asked()
    edition, key = view(house, plan).newest.id, house.key
    rival = house.parts, house.rival

    for act in (
        lambda: plan_views.plan_view(*rival, plan),
        lambda: plan_views.start(*rival, plan),
        lambda: plan_views.started_from(*rival, edition),
        lambda: plans.enter_edition(*rival, plan, 1, ranch("sided"), "", key()),
        lambda: plans.copy(*rival, plan, 1, "Taken", key()),
        lambda: plans.rename(*rival, plan, 1, "Taken", key()),
        lambda: plans.retire(*rival, plan, 1, key()),
        lambda: plans.bring_back(*rival, plan, 1, key()),
        lambda: plans.save_lot(*rival, lot, "Taken", key()),
        lambda: asking.ask(house.parts, house.rival, house.lot_asked(), key(), edition),
    ):
        with pytest.raises(NotFound):
            act()
    assert plan_views.list_plans(*rival) == plan_views.offered(*rival) == ()
    assert (house.rows(HousePlan), house.rows(Lot), view(house, plan).version) == (1, 1, 1)


def test_plans_are_a_builders_alone(house: House) -> None:
    plan, key = make(house), house.key
    for who in (house.office, house.owner, house.technician):
        for act in (
            lambda: make(house, "Other", by=who),  # noqa: B023
            lambda: plans.rename(house.parts, who, plan, 1, "Other", key()),  # noqa: B023
            lambda: plan_views.list_plans(house.parts, who),  # noqa: B023
            lambda: plan_views.plan_view(house.parts, who, plan),  # noqa: B023
        ):
            with pytest.raises(NotAllowed):
                act()


def test_of_two_who_change_a_plan_at_once_the_second_is_told_who_was_first(house: House) -> None:
    plan = make(house)
    seen = view(house, plan).version
    second = house.person("builder", "Ansel Harrow", company_id=house.builder.company_id)
    plans.rename(house.parts, second, plan, seen, "The Crag", house.key())

    for act in (
        lambda: plans.rename(house.parts, house.builder, plan, seen, "The Line", house.key()),
        lambda: plans.retire(house.parts, house.builder, plan, seen, house.key()),
        lambda: plans.enter_edition(house.parts, house.builder, plan, seen, ranch("sided"), "", house.key()),
    ):
        with pytest.raises(Overtaken) as caught:
            act()
        assert caught.value.by == "Ansel Harrow"
    assert view(house, plan).name == "The Crag"


def test_sent_twice_done_once(house: House) -> None:
    who, key = (house.parts, house.builder), house.key()

    plan = [plans.make(*who, "The Cobble", ranch(), "", key) for _ in range(2)]
    copied = [plans.copy(*who, plan[0], 1, "The Copy", key) for _ in range(2)]
    editions = [plans.enter_edition(*who, plan[0], 1, ranch("sided"), "", key) for _ in range(2)]
    for _ in range(2):
        plans.rename(*who, plan[0], 2, "The Crag", key)
        plans.retire(*who, plan[0], 3, key)

    assert plan[0] == plan[1] and copied[0] == copied[1] and editions == [2, 2]
    assert (house.rows(HousePlan), house.rows(PlanEdition)) == (2, 3)
    assert view(house, plan[0]).version == 4


def test_of_many_who_enter_the_next_edition_at_once_one_does(house: House) -> None:
    plan = make(house)
    entering = [
        partial(plans.enter_edition, house.parts, house.builder, plan, 1, ranch(interior=str(n)), "", f"k{n}")
        for n in range(1, 5)
    ]

    answers = at_once(*entering)

    assert sum(isinstance(answer, Overtaken) for answer in answers) == 3
    assert [edition.number for edition in view(house, plan).editions] == [2, 1]


def test_of_many_who_make_a_plan_of_one_name_at_once_one_does(house: House) -> None:
    making = [partial(make, house, name) for name in ("Twin", "TWIN", "twin")]

    answers = at_once(*making)

    assert sum(not isinstance(answer, Exception) for answer in answers) == 1
    assert house.rows(HousePlan) == house.rows(PlanEdition) == 1


def test_a_plan_that_no_engine_of_today_takes_is_still_listed(house: House) -> None:
    plan = make(house)
    lot = start(house, plan)
    with house.parts.store.writing() as work:
        kept.add_edition(work, plan, ranch(interior="some"), "", "x")

    (row,) = plan_views.list_plans(house.parts, house.builder)

    assert (row.feet, row.price, row.edition) == ("", "", 2)
    assert plan_views.changes(house.parts, house.builder, ranch(), ranch(interior="some")) is None
    with pytest.raises(BadInput):
        plan_views.start(house.parts, house.builder, plan, flipped=True)
    assert not origin(house, lot).changed
