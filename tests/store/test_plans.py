"""House plans as they are kept: found by name whatever its case, and never another builder's."""

from __future__ import annotations

import pytest

from portal.acts import asking
from portal.acts.parts import Actor
from portal.core.errors import NotFound, Overtaken, Refused
from portal.core.words import say
from portal.store import plans
from portal.store.tables import Lot
from tests.parts.house import House, ranch
from tests.parts.refusals import refusal


def keep(house: House, name: str = "The Cobble", *, of: Actor | None = None, editions: int = 1) -> str:
    """A plan with editions; the id of the newest."""
    who = of or house.builder
    assert who.company_id and who.person_id
    with house.parts.store.writing() as work:
        plan = plans.add_plan(work, who.company_id, name, who.person_id, who.name)
        made = [
            plans.add_edition(work, plan.id, ranch(interior=str(120 + n)), "", who.name)
            for n in range(editions)
        ]
        return made[-1].id


@pytest.mark.parametrize("asked", ["The Cobble", "the cobble", "THE  COBBLE ", " the\tCobble"])
def test_a_plan_is_found_by_name_whatever_its_case_and_spacing(house: House, asked: str) -> None:
    keep(house)

    with house.parts.store.reading() as work:
        found = plans.plan_named(work, str(house.builder.company_id), asked)
        assert found is not None and found.name == "The Cobble"


def test_a_name_with_letters_beyond_ascii_is_told_apart_the_same_way(house: House) -> None:
    keep(house, "Éclair")

    with house.parts.store.reading() as work:
        assert plans.plan_named(work, str(house.builder.company_id), "éCLAIR") is not None
        assert plans.plan_named(work, str(house.builder.company_id), "Eclair") is None


def test_a_retired_plan_is_not_offered_but_keeps_its_name(house: House) -> None:
    keep(house)
    company = str(house.builder.company_id)
    with house.parts.store.writing() as work:
        plan = plans.plan_named(work, company, "the cobble")
        assert plan is not None
        plan.retired_at = work.now

    with house.parts.store.reading() as work:
        assert plans.plan_named(work, company, "the cobble") is None
        assert plans.any_named(work, company, "the cobble") is not None
    with pytest.raises(Overtaken):
        keep(house, "THE COBBLE")


def test_two_builders_may_have_a_plan_of_the_same_name(house: House) -> None:
    first, second = keep(house), keep(house, of=house.rival)

    with house.parts.store.reading() as work:
        for who, edition in ((house.builder, first), (house.rival, second)):
            plan = plans.plan_named(work, str(who.company_id), "The Cobble")
            assert plan is not None
            assert plans.newest_edition(work, plan.id).id == edition
            with pytest.raises(NotFound):
                plans.plan(work, None, plan.id)


def test_editions_are_counted_and_the_newest_is_offered(house: House) -> None:
    newest = keep(house, editions=3)

    with house.parts.store.reading() as work:
        plan = plans.plan_named(work, str(house.builder.company_id), "The Cobble")
        assert plan is not None
        assert [edition.number for edition in plans.editions(work, plan.id)] == [3, 2, 1]
        assert plans.newest_edition(work, plan.id).id == newest


def test_a_lot_remembers_the_edition_it_was_made_from(house: House) -> None:
    edition = keep(house)

    plain = house.asked()
    made = asking.ask(house.parts, house.builder, house.lot_asked(), house.key(), edition, mirrored=True)

    with house.parts.store.reading() as work:
        kept = {lot.id: (lot.plan_edition_id, lot.mirrored) for lot in work.session.query(Lot)}
    assert kept == {plain: (None, False), made: (edition, True)}


def test_no_lot_is_made_from_another_builders_plan(house: House) -> None:
    edition = keep(house, of=house.rival)

    with pytest.raises(NotFound):
        asking.ask(house.parts, house.builder, house.lot_asked(), house.key(), edition)

    assert house.rows(Lot) == 0


def test_a_lot_is_asked_for_within_another_acts_transaction_and_goes_with_it(house: House) -> None:
    with house.parts.store.writing() as work:
        kept = asking.ask_in(house.parts, work, house.builder, house.lot_asked()).id

    def fails() -> None:
        with house.parts.store.writing() as work:
            asking.ask_in(house.parts, work, house.builder, house.lot_asked())
            raise Refused(say("Something else of that act did not fit."))

    assert refusal(fails) == "Something else of that act did not fit."
    assert house.sheet(kept).stage == "asked"
    assert house.rows(Lot) == 1
    assert house.verbs().count("asked") == 1
