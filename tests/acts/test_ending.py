"""Before a quote lapses a reminder, in time, once, and to nobody who has answered; packages in one letter."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from portal.acts import quoting
from portal.store.tables import Revision
from tests.parts.at_once import at_once
from tests.parts.house import FIRM, House
from tests.parts.packages import lots_of, sent_package
from tests.parts.refusals import problems

pytestmark = pytest.mark.slow


def reminders(house: House) -> list[str]:
    """Who was reminded."""
    return [to for kind, to in house.letters() if kind == "quote_lapsing"]


def days_before_it_ends(house: House, lot: str, days: int, hour: int = 8) -> None:
    last = house.sheet(lot).revisions[0].expires_on
    assert last is not None
    house.clock.turn_to(last - timedelta(days=days), hour)


def test_the_builder_is_reminded_three_days_before_and_never_again(house: House) -> None:
    lot = house.sent()
    seen = house.version(lot)

    days_before_it_ends(house, lot, 4, 23)
    assert quoting.remind(house.parts) == 0 and reminders(house) == []
    days_before_it_ends(house, lot, 3, 0)
    assert quoting.remind(house.parts) == 1
    for days in (3, 2, 0):
        days_before_it_ends(house, lot, days, 9)
        assert quoting.remind(house.parts) == 0

    assert reminders(house) == ["harriet@example.com"]
    assert house.verbs(lot)[-1] == "reminded"
    assert house.version(lot) == seen  # nobody who fills a form in meanwhile is overtaken by it
    house.accept(lot)


def test_a_worker_that_comes_late_still_reminds_on_the_last_day_and_not_after(lite: House) -> None:
    late, too_late = lite.sent(), lite.sent()
    days_before_it_ends(lite, late, 0, 23)
    assert quoting.remind(lite.parts) == 2
    again = lite.sent()
    days_before_it_ends(lite, again, -1, 0)

    assert quoting.remind(lite.parts) == 0
    quoting.lapse(lite.parts)
    assert lite.verbs(too_late)[-2:] == ["reminded", "lapsed"]


@pytest.mark.parametrize(
    ("days", "before", "expected"),
    [(10, 11, 0), (10, 10, 1), (0, 0, 0), (1, 1, 1), (1, 2, 0), ("", 3, 1), ("", 4, 0)],
)
def test_how_many_days_before_is_the_office_s_to_set(
    lite: House, days: Any, before: int, expected: int
) -> None:
    lot = lite.sent()
    lite.enter("firm", FIRM | {"remind_days": days})
    days_before_it_ends(lite, lot, before)

    assert quoting.remind(lite.parts) == expected


@pytest.mark.parametrize(("quote_days", "expected"), [(2, 0), (3, 0), (4, 1)])
def test_a_quote_that_holds_no_longer_than_that_needs_no_reminder(
    lite: House, quote_days: int, expected: int
) -> None:
    lite.enter("firm", FIRM | {"quote_days": quote_days})
    lot = lite.sent()
    days_before_it_ends(lite, lot, 1)

    assert quoting.remind(lite.parts) == expected


def test_whoever_has_answered_is_left_alone(lite: House) -> None:
    accepted, declined, lapsed, approved = lite.accepted(), lite.sent(), lite.sent(), lite.approved()
    quoting.decline(lite.parts, lite.builder, declined, 1, "Too dear.", lite.key())
    days_before_it_ends(lite, lapsed, -1)
    quoting.lapse(lite.parts)
    days_before_it_ends(lite, lapsed, 1)

    assert quoting.remind(lite.parts) == 0
    assert not any("reminded" in lite.verbs(lot) for lot in (accepted, declined, lapsed, approved))


def test_each_revision_has_a_reminder_of_its_own(lite: House) -> None:
    lot = lite.sent()
    days_before_it_ends(lite, lot, 2)
    quoting.remind(lite.parts)
    quoting.revise(lite.parts, lite.office, lot, lite.version(lot))
    lite.sent(lite.approved(lot))
    assert quoting.remind(lite.parts) == 0  # the new one holds for thirty days more
    days_before_it_ends(lite, lot, 2)

    assert quoting.remind(lite.parts) == 1
    assert reminders(lite) == ["harriet@example.com"] * 2


def test_two_workers_at_once_remind_once(house: House) -> None:
    lot = house.sent()
    days_before_it_ends(house, lot, 3)

    answers = at_once(*[lambda: quoting.remind(house.parts)] * 4)

    assert sorted(answers) == [0, 0, 0, 1]
    assert reminders(house) == ["harriet@example.com"]
    with house.parts.store.reading() as work:
        (row,) = work.session.query(Revision)
        assert row.reminded_at is not None


@pytest.mark.parametrize("typed", ["-1", 61, "soon", 2.5])
def test_days_that_are_none_are_told_at_their_field(lite: House, typed: Any) -> None:
    assert list(problems(lambda: lite.enter("firm", FIRM | {"remind_days": typed}))) == ["remind_days"]


def test_a_package_s_lots_are_told_of_in_one_letter_before_and_after(house: House) -> None:
    package_id = sent_package(house)
    lots = lots_of(house, package_id)
    alone = house.sent()
    house.accept(lots[0])
    days_before_it_ends(house, lots[1], 3)

    assert quoting.remind(house.parts) == len(lots)  # one of the package's is accepted, one is quoted alone
    assert quoting.remind(house.parts) == 0
    days_before_it_ends(house, lots[1], -1)
    assert quoting.lapse(house.parts) == len(lots)

    told = [kind for kind, to in house.letters() if to == "harriet@example.com" and "laps" in kind]
    assert sorted(told) == ["package_lapsed", "package_lapsing", "quote_lapsed", "quote_lapsing"]
    assert house.sheet(alone).stage == house.sheet(lots[1]).stage == "lapsed"
    assert house.sheet(lots[0]).stage == "accepted"


def test_of_a_package_with_one_lot_left_the_lot_is_told_of(lite: House) -> None:
    lots = lots_of(lite, sent_package(lite))
    for lot in lots[1:]:
        lite.accept(lot)
    days_before_it_ends(lite, lots[0], 2)

    assert quoting.remind(lite.parts) == 1
    assert reminders(lite) == ["harriet@example.com"]
