"""Margin and its floor: who may approve under it, what is kept, and what a treated job really took."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from portal.acts import crediting, margins, package_office, quoting
from portal.acts.margins import LotMargin
from portal.acts.package_sheet import package_sheet
from portal.core.errors import BadInput, NotAllowed, Refused
from portal.store.tables import Margin
from tests.parts.house import FIRM, House, ranch
from tests.parts.packages import packed

COSTS = {"cost_crew_hour": "48", "cost_mile": "0", "cost_job": "12.50"}
OPEN = ranch(siding="open")


def costs(house: House, floor: str = "", **changes: Any) -> None:
    house.enter("firm", FIRM | COSTS | {"margin_floor": floor} | changes)


def left(house: House, lot: str, number: int | None = None) -> LotMargin:
    found = margins.of_lot(house.parts, house.office, lot, number)
    assert found is not None
    return found


def approve(house: House, lot: str, reason: str = "", who: Any = None) -> None:
    quoting.approve(house.parts, who or house.owner, lot, house.version(lot), "", reason)


def test_a_quote_to_be_checked_says_what_it_costs_and_leaves(lite: House) -> None:
    costs(lite)
    lot = lite.to_check(house=OPEN)

    found = left(lite, lot)

    assert not found.kept and found.cost.known
    assert found.cost.margin == found.cost.revenue - found.cost.cost


def test_without_costs_nothing_is_said_to_be_left(lite: House) -> None:
    lot = lite.approved(house=OPEN)

    assert not left(lite, lot).cost.known
    with lite.parts.store.reading() as work:
        assert [row.cost for row in work.session.query(Margin)] == [None]


def test_under_the_floor_the_office_is_told_who_can_approve(lite: House) -> None:
    costs(lite, "99")
    lot = lite.to_check(house=OPEN)

    with pytest.raises(Refused, match="under the floor of 99") as told:
        approve(lite, lot, "Because.", lite.office)

    assert lite.owner.name in str(told.value)
    assert lite.sheet(lot, lite.office).stage == "to check"


def test_an_owner_needs_a_reason_which_is_kept_for_the_office_alone(lite: House) -> None:
    costs(lite, "99")
    lot = lite.to_check(house=OPEN)

    with pytest.raises(BadInput) as bad:
        approve(lite, lot, "  ")
    approve(lite, lot, "The first of forty houses.")
    quoting.send(lite.parts, lite.office, lot, lite.version(lot))

    assert [problem.at for problem in bad.value.problems] == ["reason"]
    found = left(lite, lot)
    assert (found.reason, found.reason_by) == ("The first of forty houses.", lite.owner.name)
    assert "under the floor" in lite.verbs(lot)
    said = [line.details for line in lite.sheet(lot, lite.builder).history]
    assert not any("first of forty" in str(details) for details in said)


def test_at_the_floor_anybody_of_the_office_approves(lite: House) -> None:
    costs(lite)
    percent = left(lite, lite.to_check(house=OPEN)).cost.percent
    assert percent is not None
    costs(lite, str(percent - 1))
    lot = lite.to_check(house=OPEN)

    approve(lite, lot, "Not needed.", lite.office)

    assert left(lite, lot).reason == ""
    assert "under the floor" not in lite.verbs(lot)


def test_a_known_part_that_breaks_the_floor_is_enough(lite: House) -> None:
    """Containers alone: what else it costs can only leave less."""
    lite.enter("firm", FIRM | {"margin_floor": "99"})
    lot = lite.to_check(house=OPEN)

    with pytest.raises(Refused, match="under the floor"):
        approve(lite, lot, "", lite.office)


def test_a_revision_is_held_to_the_floor_of_its_own_day(lite: House) -> None:
    costs(lite)
    lot = lite.sent(house=OPEN)
    before = left(lite, lot, 1).cost
    costs(lite, "99", cost_crew_hour="90")
    quoting.revise(lite.parts, lite.office, lot, lite.version(lot))

    with pytest.raises(Refused, match="under the floor"):
        approve(lite, lot, "", lite.office)
    approve(lite, lot, "Agreed on the phone.")

    assert left(lite, lot, 1).cost == before
    assert left(lite, lot).cost.cost > before.cost


def test_of_a_package_only_lots_over_the_floor_are_approved_by_the_office(lite: House) -> None:
    costs(lite, "99")
    package = packed(lite)

    def press(who: Any, what: str, reason: str = "") -> package_office.Outcome:
        seen = package_sheet(lite.parts, lite.office, package).seen
        return package_office.press(lite.parts, who, package, what, seen, lite.key(), reason)

    press(lite.office, "start")
    refused = press(lite.office, "approve", "Mine to say.")
    bare = press(lite.owner, "approve")
    done = press(lite.owner, "approve", "Forty more to come.")

    assert refused.done == 0 and all("An owner can" in str(said) for _lot, said in refused.left)
    assert bare.done == 0 and all("Write why" in str(said) for _lot, said in bare.left)
    assert done.left == () and done.done == len(refused.left)


def test_a_treated_job_is_reckoned_again_from_its_record(lite: House) -> None:
    """2.96 gal planned, three containers of $92; 4.40 mixed, which a pail of five at $415 would not save."""
    costs(lite)
    lot = lite.booked(house=OPEN)
    lite.clock.turn_to(lite.parts.today(), 18)
    lite.mark(lot, lite.entry(lot, concentrate="4.40", water="4.40"))

    job = left(lite, lot).treated

    assert job is not None and job.planned is not None and job.done is not None
    assert (job.planned.concentrate, job.done.concentrate) == (Decimal("2.96"), Decimal("4.40"))
    product = {part.what: part.amount for part in job.done.parts}["product"]
    assert product == Decimal("415.00")
    # From 7:45 to the last coat at 11:30 are 225 minutes, and 15 of cleaning up: four hours at $48.
    assert {part.what: part.amount for part in job.done.parts}["hours"] == Decimal("192.00")
    assert job.billed == job.planned.revenue


def test_what_was_credited_is_no_longer_what_was_billed(lite: House) -> None:
    costs(lite)
    lot = lite.treated(house=OPEN)
    invoice = lite.invoice(lot)
    crediting.credit(lite.parts, lite.office, invoice.id, {}, True, "Counted twice.", lite.key())

    job = left(lite, lot).treated

    assert job is not None and job.billed == Decimal("0.00")


def test_sums_by_builder_and_by_subdivision(lite: House) -> None:
    costs(lite)
    first = lite.treated(house=OPEN)
    lite.clock.turn_to(lite.parts.today() + timedelta(days=1), 8)
    second = lite.sent(house=OPEN, subdivision="")
    unknown = without_costs(lite)

    page = margins.look(lite.parts, lite.office, by="builder")
    by_place = margins.look(lite.parts, lite.office, by="subdivision")

    one, two = left(lite, first).cost, left(lite, second).cost
    assert [(row.count, row.unknown) for row in page.sent] == [(3, 1), (3, 1)]
    assert page.sent[-1].cost == one.cost + two.cost
    assert page.sent[-1].revenue == one.revenue + two.revenue
    assert [row.name for row in by_place.sent] == ["Quarry Bend", "", ""]
    assert [row.count for row in page.accepted] == [1, 1]
    assert [(row.count, row.gallons) for row in page.done][-1] == (1, (Decimal("2.96"), Decimal("2.96")))
    assert unknown not in {job.lot_id for job in page.jobs}


def without_costs(house: House) -> str:
    house.enter("firm", FIRM)
    return house.sent(house=OPEN)


def test_days_the_wrong_way_round_are_said(lite: House) -> None:
    today = lite.parts.today()
    with pytest.raises(BadInput, match="before the first"):
        margins.look(lite.parts, lite.office, today, today - timedelta(days=1))


def test_nobody_but_the_office_looks(lite: House) -> None:
    lot = lite.approved(house=OPEN)
    for who in (lite.builder, lite.technician):
        with pytest.raises(NotAllowed):
            margins.of_lot(lite.parts, who, lot)
