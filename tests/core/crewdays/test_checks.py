"""What stands against a booking: which of it refuses, which takes a reason. The rules are the house's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.crewdays.checks import Booking, doubts, problems, refusals, spelled
from portal.core.crewdays.hours import USUAL_WEEK, Hours, Load, loads
from portal.core.crewdays.window import Window

#: A Tuesday.
DAY, TODAY = date(2027, 5, 4), date(2027, 5, 3)
OPEN = Window(date(2027, 5, 1), date(2027, 5, 10), date(2027, 5, 20))
PLAIN = Booking(DAY, "Wendell", 200, OPEN, Hours(), Load(), 30)


def booking(**changes: Any) -> Booking:
    return replace(PLAIN, **changes)


def test_a_plain_day_in_the_window_has_nothing_against_it() -> None:
    assert problems(PLAIN, TODAY, "") == []


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"day": date(2027, 4, 30)}, "Framing is done on 2027-05-01"),
        ({"day": date(2027, 5, 20)}, "Insulation starts on 2027-05-20"),
        ({"day": date(2027, 5, 21)}, "Insulation starts on 2027-05-20"),
        ({"day": date(2027, 5, 8)}, "Wendell is not at work on that day of the week."),
        ({"hours": Hours(office_off=frozenset({DAY}))}, "2027-05-04 is one of the office’s days off."),
        ({"minutes": 451}, "Wendell’s day takes 8 h 1 min with the ways, and Wendell works 8 h."),
        ({"load": Load(1, 221)}, "Wendell’s day takes 8 h 1 min"),
        ({"hours": Hours(week=(480, 200, 480, 480, 480, 0, 0))}, "and Wendell works 3 h 20 min."),
    ],
)
def test_what_takes_a_reason_is_said_beside_it_and_booked_with_one(changes: Any, says: str) -> None:
    found = problems(booking(**changes), date(2027, 4, 1), "  ")

    assert [problem.at for problem in found] == ["reason"]
    assert says in str(found[0].says)
    assert problems(booking(**changes), date(2027, 4, 1), "Agreed.") == []


@pytest.mark.parametrize(
    "changes",
    [
        {"day": date(2027, 5, 3)},  # framing done by then
        {"day": date(2027, 5, 19)},  # the last day before insulation
        {"minutes": 450},  # and 30 for the way: 8 hours
        {"load": Load(1, 220)},  # 420 minutes on site, and two ways
        {"window": Window()},  # nobody said a day
        {"window": Window(framing_done=DAY)},
    ],
)
def test_up_to_its_bound_a_day_takes_no_reason(changes: Any) -> None:
    assert problems(booking(**changes), date(2027, 4, 1), "") == []


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"day": date(2027, 5, 2)}, "2027-05-02 is over. Choose today or a later day."),
        ({"hours": Hours(days_off=frozenset({DAY}))}, "Wendell is off on 2027-05-04."),
        ({"minutes": 24 * 60}, "no day has more than 24 hours"),
    ],
)
def test_no_reason_helps_against_what_cannot_be(changes: Any, says: str) -> None:
    found = problems(booking(**changes), TODAY, "All the same.")

    assert [problem.at for problem in found] == ["day"] and says in str(found[0].says)


def test_a_day_can_have_several_things_against_it() -> None:
    found = doubts(booking(day=date(2027, 5, 22), load=Load(3, 500)))  # a Saturday

    assert [str(one).partition(" ")[0] for one in found] == ["Insulation", "Wendell"]


@given(
    st.integers(0, 600), st.integers(0, 6), st.integers(0, 900), st.integers(0, 120),
    st.dates(date(2027, 5, 1), date(2027, 5, 30)), st.sampled_from(["", "Agreed."]),
)  # fmt: skip
def test_one_stop_more_never_makes_a_day_easier(
    minutes: int, stops: int, filled: int, travel: int, day: date, reason: str
) -> None:
    less = booking(day=day, minutes=minutes, load=Load(stops, filled), travel=travel)
    more = replace(less, load=less.load.with_stop(1))

    assert len(problems(less, TODAY, reason)) <= len(problems(more, TODAY, reason))
    if reason:
        assert problems(less, TODAY, reason) == refusals(less, TODAY)


a_stop = st.tuples(
    st.sampled_from("ab"), st.sampled_from([DAY, TODAY]), st.integers(0, 500),
    st.sampled_from([None, "A", "B"]),
)  # fmt: skip


@given(st.lists(a_stop))
def test_loads_add_up_to_all_that_was_booked(stops: list[tuple[str, date, int, str | None]]) -> None:
    found = loads(stops)

    assert sum(load.stops for load in found.values()) == len(stops)
    assert sum(load.filled(0) for load in found.values()) == sum(minutes for _who, _day, minutes, _ in stops)
    trips = {(who, day, where) for who, day, _minutes, where in stops if where}
    near = sum(1 for stop in stops if stop[3]) - len(trips)
    assert sum(load.filled(30) - load.filled(0) for load in found.values()) == 30 * len(stops) - 20 * near


def test_a_way_that_is_short_anyway_is_no_longer_next_door() -> None:
    assert Load().with_stop(60, "A").with_stop(60, "A").filled(5) == 130


@given(
    st.none() | st.dates(date(2027, 1, 1), date(2027, 12, 31)),
    st.none() | st.dates(date(2027, 1, 1), date(2027, 12, 31)),
)
def test_a_window_holds_every_day_from_framing_to_the_day_before_insulation(
    framing: date | None, insulation: date | None
) -> None:
    window = Window(framing, None, insulation)
    days = [date(2026, 12, 1) + timedelta(days=n) for n in range(430)]

    held = [day for day in days if window.holds(day)]

    assert window.never == (not held)
    if held and framing:
        assert held[0] == framing
    if held and insulation:
        assert held[-1] == window.last == insulation - timedelta(days=1)


def test_minutes_are_said_in_hours() -> None:
    assert [str(spelled(m)) for m in (0, 45, 60, 380)] == ["0 h", "0 h 45 min", "1 h", "6 h 20 min"]


def test_a_week_begins_with_monday() -> None:
    week = Hours(week=(1, 2, 3, 4, 5, 6, 7), office_off=frozenset({date(2027, 5, 5)}))

    assert [week.minutes_on(TODAY + timedelta(days=n)) for n in range(7)] == [1, 2, 0, 4, 5, 6, 7]
    assert sum(USUAL_WEEK) == 40 * 60
