"""The steps of a report of trouble, and the day its first answer is due."""

from __future__ import annotations

from datetime import date

import pytest

from portal.core.cover.trouble import answer_due, check_step, next_steps
from portal.core.errors import Refused

JULY_2 = date(2027, 7, 2)  # a Friday, by the Gregorian calendar


@pytest.mark.parametrize(("days", "off", "due"), [
    (1, (), date(2027, 7, 5)),
    (3, (), date(2027, 7, 7)),
    # July 5 2027 is the day off for Independence Day, a Sunday that year (5 U.S.C. 6103(b) moves Saturdays;
    # Executive Order 11582 moves Sundays to Monday; both from memory).
    (1, (date(2027, 7, 5),), date(2027, 7, 6)),
    (3, (date(2027, 7, 5),), date(2027, 7, 8)),
    (6, (), date(2027, 7, 12)),
])  # fmt: skip
def test_the_answer_is_due_after_so_many_working_days(days: int, off: tuple[date, ...], due: date) -> None:
    assert answer_due(JULY_2, days, off) == due


def test_the_steps_come_in_their_order() -> None:
    states = ("reported", "answered", "booked", "found", "decided", "done", "closed")
    assert [next_steps(state, "covered") for state in states] == [
        ("answered",), ("booked",), ("booked", "found"), ("decided",), ("done",), ("closed",), (),
    ]  # fmt: skip


@pytest.mark.parametrize(("decision", "may"), [
    ("covered", ("done",)), ("partly covered", ("done",)), ("not covered", ("closed",)),
])  # fmt: skip
def test_what_is_covered_is_not_closed_before_something_was_done(decision: str, may: tuple[str, ...]) -> None:
    assert next_steps("decided", decision) == may


@pytest.mark.parametrize(("state", "step"), [
    ("reported", "booked"), ("reported", "decided"), ("answered", "answered"), ("answered", "found"),
    ("booked", "decided"), ("found", "closed"), ("closed", "answered"), ("closed", "closed"),
])  # fmt: skip
def test_no_step_is_left_out_or_taken_twice(state: str, step: str) -> None:
    with pytest.raises(Refused):
        check_step(state, step)
