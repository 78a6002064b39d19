"""Days that the office has found, and books."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from portal.acts import day_finding, technician_days
from portal.acts.day_finding import Pick, Proposed
from portal.core.errors import NotAllowed
from tests.parts.house import House

pytestmark = pytest.mark.slow

TODAY = date(2027, 5, 4)  # a Tuesday
TOMORROW = TODAY + timedelta(1)


def propose(house: House, weeks: int = 1) -> Proposed:
    return day_finding.propose(house.parts, house.office, weeks=weeks)


def picks(proposed: Proposed) -> list[Pick]:
    return [Pick(p.row.lot_id, p.row.version, p.technician_id, p.day) for p in proposed.proposals]


def test_a_lot_gets_a_day_within_its_window_and_the_words_why(house: House) -> None:
    house.accepted(
        name="Lot 7", framing_done=date(2027, 5, 6), siding_starts=date(2027, 5, 10),
        insulation_starts=date(2027, 5, 12),
    )  # fmt: skip

    [proposal] = propose(house).proposals

    assert proposal.day == date(2027, 5, 6) and proposal.technician in ("Rosa Imber", "Wendell Pike")
    assert [str(one) for one in proposal.why] == [
        "The window shuts on 2027-05-12.", "It is before siding starts on 2027-05-10.",
    ]  # fmt: skip


def test_lots_of_a_subdivision_go_to_one_technician_on_one_day(house: House) -> None:
    for name in ("Lot 7", "Lot 8"):
        house.accepted(name=name)
    house.booked(house.accepted(name="Lot 9"), day=TODAY + timedelta(2))
    technician_days.set_week(house.parts, house.office, house.technician.person_id, ["10"] * 7)

    found = propose(house)

    assert {(p.day, p.technician) for p in found.proposals} == {(TODAY + timedelta(2), "Wendell Pike")}
    assert "Together with Lot 8, Lot 9 of the same subdivision." in [
        str(one) for one in found.proposals[0].why
    ]
    assert found.best


def test_days_off_and_hours_that_are_booked_are_kept_free_of_it(house: House) -> None:
    wendell, rosa = (one.person_id for one in (house.technician, house.second_technician))
    technician_days.add_days_off(house.parts, house.office, rosa, TOMORROW, TOMORROW, "")
    technician_days.set_week(house.parts, house.office, wendell, ["4"] * 7)
    house.booked(day=TOMORROW, subdivision="Elsewhere")
    house.accepted(name="Lot 7", insulation_starts=TODAY + timedelta(2))

    [(row, why)] = propose(house).unkept

    assert row.lot == "Lot 7"
    assert str(why).startswith("Its window is too short for the hours left: it takes ")


@pytest.mark.parametrize(
    ("window", "says"),
    [
        ({"insulation_starts": TOMORROW}, "Its window is over: insulation starts on 2027-05-05."),
        ({"framing_done": date(2027, 6, 1)}, "Framing is done on 2027-06-01, after the days looked at."),
        (
            {"framing_done": date(2027, 5, 8), "insulation_starts": date(2027, 5, 10)},
            "Nobody is at work on any day of its window.",
        ),
    ],
)
def test_why_a_lot_cannot_be_kept(lite: House, window: dict[str, date], says: str) -> None:
    lite.accepted(**window)

    [(_row, why)] = propose(lite).unkept

    assert str(why) == says


def test_what_a_day_is_too_short_for_is_said_with_both_figures(lite: House) -> None:
    for who in (lite.technician, lite.second_technician):
        technician_days.set_week(lite.parts, lite.office, who.person_id, ["1"] * 7)
    lite.accepted()

    [(_row, why)] = propose(lite).unkept

    assert "nobody works longer than 1 h" in str(why)


def test_what_has_to_give_way_is_told_for_whom(lite: House) -> None:
    technician_days.set_week(lite.parts, lite.office, lite.second_technician.person_id, ["0"] * 7)
    for name in ("Lot 1", "Lot 2", "Lot 3", "Lot 4"):
        lite.accepted(name=name, insulation_starts=TODAY + timedelta(2))

    found = propose(lite)

    names = [p.row.lot for p in found.proposals]
    assert names and found.unkept
    assert all(f"The hours of its window go to {', '.join(names)}." in str(why) for _row, why in found.unkept)


def test_taking_books_each_by_the_rules_of_booking(house: House) -> None:
    lots = [house.accepted(name=name) for name in ("Lot 7", "Lot 8")]
    found = propose(house)

    taken = day_finding.take(house.parts, house.office, picks(found))

    assert taken == day_finding.Taken(2, ())
    assert {house.sheet(lot).job.day for lot in lots} == {found.proposals[0].day}  # type: ignore[union-attr]
    assert [house.verbs(lot)[-1] for lot in lots] == ["booked", "booked"]
    assert not propose(house).proposals


def test_sent_twice_it_is_booked_once(house: House) -> None:
    lot = house.accepted()
    found = picks(propose(house))
    day_finding.take(house.parts, house.office, found)

    assert day_finding.take(house.parts, house.office, found) == day_finding.Taken(1, ())
    assert house.verbs(lot).count("booked") == 1


def test_what_changed_in_between_is_said_by_lot_and_the_rest_is_booked(house: House) -> None:
    first, second = house.accepted(name="Lot 7"), house.accepted(name="Lot 8")
    found = picks(propose(house))
    house.book(first, TODAY + timedelta(6))

    taken = day_finding.take(house.parts, house.office, found)

    assert taken.booked == 1 and house.sheet(second).job.state == "booked"  # type: ignore[union-attr]
    [(name, says)] = taken.left
    assert name.startswith("Lot 7, ") and str(says) == "Terrence Udall changed it in the meantime."
    assert house.sheet(first).job.day == TODAY + timedelta(6)  # type: ignore[union-attr]


def test_hours_that_somebody_filled_in_between_are_not_filled_twice(lite: House) -> None:
    lite.accepted(name="Lot 7")
    [pick] = picks(propose(lite))
    technician_days.set_week(lite.parts, lite.office, pick.technician_id, ["1"] * 7)

    taken = day_finding.take(lite.parts, lite.office, [pick])

    assert taken.booked == 0 and "works 1 h" in str(taken.left[0][1])


def test_what_is_no_lot_is_told_and_leaves_the_others(lite: House) -> None:
    lite.accepted()
    [pick] = picks(propose(lite))

    taken = day_finding.take(lite.parts, lite.office, [replace(pick, lot_id="nothing"), pick])

    assert taken.booked == 1 and len(taken.left) == 1


def test_it_is_the_office_s(lite: House) -> None:
    for somebody in (lite.builder, lite.technician):
        with pytest.raises(NotAllowed):
            day_finding.propose(lite.parts, somebody)
        with pytest.raises(NotAllowed):
            day_finding.take(lite.parts, somebody, [])
