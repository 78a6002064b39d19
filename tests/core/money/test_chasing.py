"""Steps of reminders: their days by the office's calendar, their words, and what an owner may enter."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from portal.core.errors import BadInput
from portal.core.money.chasing import MOST_STEPS, Calendar, Chasing, Owed, Step, fill, read_chasing
from portal.core.money.interest import InterestTerms

BEFORE, WEEK, MONTH = (Step(days, f"{days}", "words") for days in (-3, 7, 30))
STEPS = (BEFORE, WEEK, MONTH)
#: 2027-06-04 is a Friday; 2027-07-05 a Monday on which the office is off.
FRIDAY, OFF = date(2027, 6, 4), date(2027, 7, 5)


def owed(due_on: date, last: int | None = None, issued_on: date = date(2027, 5, 1)) -> Owed:
    return Owed(issued_on, due_on, last)


@pytest.mark.parametrize(
    ("days", "due_on", "goes_out"),
    [
        (7, FRIDAY, date(2027, 6, 11)),  # a Friday
        (1, FRIDAY, date(2027, 6, 7)),  # Saturday: Monday
        (3, date(2027, 7, 1), date(2027, 7, 6)),  # Sunday, then a day off: Tuesday
        (0, date(2027, 6, 6), date(2027, 6, 7)),
        (-3, date(2027, 6, 8), FRIDAY),  # Saturday: the Friday before, for it is to come before the day
        (-3, date(2027, 7, 8), date(2027, 7, 2)),  # Monday off: Friday
    ],
)
def test_a_step_goes_out_on_a_day_the_office_works(days: int, due_on: date, goes_out: date) -> None:
    calendar = Calendar((), frozenset({OFF}))

    assert calendar.day_of(Step(days, "s", "b"), due_on) == goes_out


def test_each_step_is_due_from_its_day_on_until_it_was_sent() -> None:
    calendar, due_on = Calendar(STEPS), FRIDAY
    sent: list[tuple[int, date]] = []
    for n in range(-30, 60):
        day = due_on + timedelta(days=n)
        step = calendar.due(owed(due_on, sent[-1][0] if sent else None), day)
        if step is not None:
            sent.append((step.days, day))

    assert sent == [(-3, date(2027, 6, 1)), (7, date(2027, 6, 11)), (30, date(2027, 7, 5))]


def test_of_several_that_were_missed_the_latest_goes_out_alone() -> None:
    assert Calendar(STEPS).due(owed(FRIDAY), date(2027, 7, 12)) == MONTH
    assert Calendar(STEPS).due(owed(FRIDAY, 30), date(2027, 7, 12)) is None


def test_nobody_is_told_of_a_due_day_to_come_once_it_passed_nor_before_the_invoice_was_there() -> None:
    calendar = Calendar((BEFORE,))

    assert calendar.due(owed(FRIDAY), FRIDAY) == BEFORE
    assert calendar.due(owed(FRIDAY), date(2027, 6, 7)) is None
    assert calendar.due(owed(FRIDAY, issued_on=date(2027, 6, 1)), FRIDAY) is None


def test_what_goes_out_next_and_when() -> None:
    calendar = Calendar(STEPS, frozenset({OFF}))

    assert calendar.next(owed(FRIDAY), date(2027, 5, 20)) == (BEFORE, date(2027, 6, 1))
    assert calendar.next(owed(FRIDAY, -3), date(2027, 6, 2)) == (WEEK, date(2027, 6, 11))
    assert calendar.next(owed(FRIDAY, -3), date(2027, 6, 12)) == (WEEK, date(2027, 6, 14))  # put off to then
    assert calendar.next(owed(FRIDAY, 7), date(2027, 6, 12)) == (MONTH, date(2027, 7, 6))
    assert calendar.next(owed(FRIDAY, 30), date(2027, 6, 12)) is None


def entered(**changes: Any) -> dict[str, Any]:
    steps = [{"days": "30", "subject": "{invoice} is {days} days late", "body": "{amount} was due on {due}."},
             {"days": "-3", "subject": "{invoice}", "body": "For {lot}."}]  # fmt: skip
    return {"steps": steps, "interest": {"percent": "7.5", "grace_days": "5", "counts": "365"}} | changes


def test_an_edition_is_read_with_its_steps_in_order() -> None:
    read = read_chasing(entered())

    assert [step.days for step in read.steps] == [-3, 30]
    assert read.interest is not None and (read.interest.grace_days, read.interest.counts) == (5, "365")
    assert read_chasing({}) == Chasing((), None)
    values = {"invoice": "INV-1", "amount": "$5.00", "due": "June 4", "days": "30", "lot": "Lot 7"}
    assert fill(read.steps[1].body + read.steps[0].body, values) == "$5.00 was due on June 4.For Lot 7."
    assert fill("{lot}", values | {"lot": "{days}"}) == "{days}"  # what is filled in is not read again


@pytest.mark.parametrize(
    ("changes", "at", "says"),
    [
        ({"days": "soon"}, "steps[0].days", "“soon” is no whole number from -60 to 365."),
        ({"days": "366"}, "steps[0].days", "“366” is no whole number from -60 to 365."),
        ({"days": "-3"}, "steps[1].days", "Another step has this day."),
        ({"subject": ""}, "steps[0].subject", "This is missing."),
        ({"subject": "a\nb"}, "steps[0].subject", "A subject is one line."),
        ({"body": "x" * 2001}, "steps[0].body", "At most 2000 characters, please."),
        ({"body": "{name}"}, "steps[0].body", "“{name}” cannot be filled in; what can is "
         "{invoice}, {amount}, {due}, {days}, {lot}."),
        ({"body": "{due"}, "steps[0].body", "“{” cannot be filled in; what can is "
         "{invoice}, {amount}, {due}, {days}, {lot}."),
    ],
)  # fmt: skip
def test_words_that_could_not_be_sent_are_told_at_their_field(
    changes: dict[str, str], at: str, says: str
) -> None:
    document = entered()
    document["steps"][0] |= changes

    with pytest.raises(BadInput) as bad:
        read_chasing(document)

    assert [(p.at, str(p.says)) for p in bad.value.problems] == [(at, says)]


@pytest.mark.parametrize("percent", ["0", "101", "-1", "1e1", "6 %", "1.2345", "NaN"])
def test_a_percent_that_is_none_is_told(percent: str) -> None:
    with pytest.raises(BadInput) as bad:
        read_chasing(entered(interest={"percent": percent, "counts": "365"}))

    assert [p.at for p in bad.value.problems] == ["interest.percent"]


def test_interest_needs_its_way_of_counting_and_nine_steps_are_too_many() -> None:
    steps = [{"days": n, "subject": "s", "body": "b"} for n in range(MOST_STEPS + 1)]
    with pytest.raises(BadInput) as bad:
        read_chasing({"steps": steps, "interest": {"percent": "6", "counts": "31"}})

    assert [p.at for p in bad.value.problems] == ["steps", "interest.counts"]


def test_interest_begins_after_the_days_of_grace() -> None:
    terms = read_chasing(entered()).interest

    assert isinstance(terms, InterestTerms)
    assert terms.first_day(date(2027, 6, 4)) == date(2027, 6, 10)  # 5 days of grace, then the day after
