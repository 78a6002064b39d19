"""A company may want two people over an amount: the first yes is kept, the second makes it whole."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from portal.acts import papers, quoting
from portal.acts.answers import answers
from portal.acts.deciding import accept_in, answerable
from portal.acts.parts import Actor
from portal.acts.second_person import second_over, set_second_over
from portal.core.errors import NotAllowed, NotFound, Refused
from portal.store.tables import Consent, Job, Person
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow


def colleague(house: House, name: str = "Otto Lind") -> Actor:
    """Another person of the builder's company."""
    return house.person("builder", name, company_id=house.builder.company_id)


def change(house: House, who: Actor, **columns: Any) -> None:
    """Set columns of a person behind the acts' back."""
    with house.parts.store.writing() as work:
        row = work.session.get_one(Person, who.person_id)
        for name, value in columns.items():
            setattr(row, name, value)


@pytest.fixture
def strict(house: House) -> House:
    """A house whose builder wants two people over 100 dollars."""
    set_second_over(house.parts, house.builder, "100")
    return house


@pytest.fixture
def lite_strict(lite: House) -> House:
    """The same on SQLite."""
    set_second_over(lite.parts, lite.builder, "100")
    return lite


def test_the_first_yes_is_kept_and_the_second_makes_the_acceptance(strict: House) -> None:
    lot, otto = strict.sent(), colleague(strict)

    strict.accept(lot, purchase_order="PO-7")
    between = strict.sheet(lot)
    shown = answers(strict.parts, otto, lot, 1)
    strict.accept(lot, by=otto)

    assert (between.stage, between.job) == ("sent", None)
    assert shown.first is not None
    assert (shown.first.name, shown.first.own, shown.may_second) == ("Harriet Finch", False, True)
    assert shown.first.fingerprint == between.revisions[0].fingerprint
    sheet = strict.sheet(lot)
    assert sheet.accepted is not None and sheet.job is not None
    assert (sheet.accepted.decided_by, sheet.accepted.purchase_order) == ("Otto Lind", "PO-7")
    assert [verb for verb in strict.verbs(lot) if "accept" in verb or "yes" in verb] == [
        "first yes", "accepted",
    ]  # fmt: skip
    assert (strict.rows(Consent), strict.rows(Job)) == (2, 1)


def test_at_the_amount_one_is_enough_and_a_cent_over_it_takes_two(lite: House) -> None:
    total = lite.sheet(lite.sent()).revisions[0].total
    assert total is not None
    set_second_over(lite.parts, lite.builder, str(total))
    at = lite.sent()
    lite.accept(at)
    set_second_over(lite.parts, lite.builder, str(total - Decimal("0.01")))
    over = lite.sent()
    lite.accept(over)

    assert (lite.sheet(at).stage, lite.sheet(over).stage) == ("accepted", "sent")


def test_those_who_may_give_the_second_are_told_and_nobody_else(lite_strict: House) -> None:
    lot = lite_strict.sent()
    colleague(lite_strict)
    asker = colleague(lite_strict, "Mara Tell")
    change(lite_strict, asker, may_accept=False)

    lite_strict.accept(lot)

    told = [to for kind, to in lite_strict.letters() if kind == "second_yes"]
    assert told == ["otto@example.com"]
    assert "quote_accepted" not in [kind for kind, _to in lite_strict.letters()]


def test_the_same_person_is_no_second(lite_strict: House) -> None:
    lot = lite_strict.sent()
    lite_strict.accept(lot)

    said = refusal(lambda: lite_strict.accept(lot, name="Somebody Else"))

    assert said == "Your yes is kept already. The second has to be somebody else’s."
    assert lite_strict.sheet(lot).stage == "sent"


def test_two_second_yeses_at_once_make_one_acceptance(strict: House) -> None:
    lot = strict.sent()
    otto, mara = colleague(strict), colleague(strict, "Mara Tell")
    strict.accept(lot)

    found = at_once(*(partial(strict.accept, lot, by=who, key=who.name) for who in (otto, mara)))

    assert sorted(type(one) for one in found if one is not None) == [Refused]
    assert (strict.rows(Job), strict.rows(Consent), strict.sheet(lot).stage) == (1, 2, "accepted")


def test_two_first_yeses_at_once_are_one_acceptance(strict: House) -> None:
    lot, otto = strict.sent(), colleague(strict)

    at_once(*(partial(strict.accept, lot, by=who, key=who.name) for who in (strict.builder, otto)))

    assert (strict.rows(Job), strict.rows(Consent), strict.sheet(lot).stage) == (1, 2, "accepted")


def test_the_first_is_sent_twice_and_kept_once(lite_strict: House) -> None:
    lot = lite_strict.sent()

    for _ in range(2):
        lite_strict.accept(lot, key="k")

    assert lite_strict.rows(Consent) == 1


def test_a_first_yes_is_taken_back_by_whoever_gave_it(lite_strict: House) -> None:
    lot, otto = lite_strict.sent(), colleague(lite_strict)
    lite_strict.accept(lot)

    said = refusal(lambda: quoting.take_back(lite_strict.parts, otto, lot, 1))
    quoting.take_back(lite_strict.parts, lite_strict.builder, lot, 1)
    again = refusal(lambda: quoting.take_back(lite_strict.parts, lite_strict.builder, lot, 1))
    lite_strict.accept(lot, by=otto)

    assert said == again == "There is no yes of yours to take back."
    assert lite_strict.sheet(lot).stage == "sent"
    shown = answers(lite_strict.parts, lite_strict.builder, lot, 1)
    assert [yes.name for yes in shown.yeses] == ["Otto Lind"] and shown.may_second
    assert "yes taken back" in lite_strict.verbs(lot)


def test_after_the_second_nothing_is_taken_back(lite_strict: House) -> None:
    lot, otto = lite_strict.sent(), colleague(lite_strict)
    lite_strict.accept(lot)
    lite_strict.accept(lot, by=otto)

    said = refusal(lambda: quoting.take_back(lite_strict.parts, lite_strict.builder, lot, 1))

    assert said == "This quote is already accepted."


def test_a_newer_revision_leaves_the_first_yes_behind(lite_strict: House) -> None:
    house, lot, otto = lite_strict, lite_strict.sent(), colleague(lite_strict)
    house.accept(lot)
    quoting.revise(house.parts, house.office, lot, house.version(lot))
    house.sent(house.approved(lot))

    house.accept(lot, by=otto)

    assert house.sheet(lot).stage == "sent"
    shown = answers(house.parts, house.builder, lot, 2)
    assert [yes.name for yes in shown.yeses] == ["Otto Lind"]


def test_a_lapsed_quote_takes_no_second(lite_strict: House) -> None:
    lot, otto = lite_strict.sent(), colleague(lite_strict)
    lite_strict.accept(lot)
    lite_strict.clock.pass_by(days=31)

    said = refusal(lambda: lite_strict.accept(lot, by=otto))

    assert "has lapsed" in said


def test_one_no_is_enough(lite_strict: House) -> None:
    lot, otto = lite_strict.sent(), colleague(lite_strict)
    lite_strict.accept(lot)

    quoting.decline(lite_strict.parts, otto, lot, 1, "Too dear.", lite_strict.key())

    assert lite_strict.sheet(lot).stage == "declined"


def test_a_raised_amount_lets_one_complete_and_names_them_once(lite_strict: House) -> None:
    lot = lite_strict.sent()
    lite_strict.accept(lot)
    set_second_over(lite_strict.parts, lite_strict.builder, "")

    lite_strict.accept(lot)

    assert lite_strict.sheet(lot).stage == "accepted"
    assert len(answers(lite_strict.parts, lite_strict.builder, lot, 1).yeses) == 1


def test_a_packages_sum_is_what_is_judged(lite: House) -> None:
    lot = lite.sent()
    set_second_over(lite.parts, lite.builder, "5000")

    with lite.parts.store.writing() as work:
        held, revision = answerable(lite.parts, work, lite.builder, lot, 1)
        whole = accept_in(
            lite.parts, work, lite.builder, held, revision, "Harriet Finch", "", amount=Decimal("9000.00")
        )

    assert not whole and lite.sheet(lot).stage == "sent"
    # What was begun as a package is not finished alone, one lot at a time.
    assert refusal(lambda: lite.accept(lot)).startswith("Your yes is kept already.")
    lite.accept(lot, by=colleague(lite))
    assert lite.sheet(lot).stage == "accepted"


def test_the_acceptance_paper_names_both_and_exactly_what(lite_strict: House) -> None:
    lot, otto = lite_strict.sent(), colleague(lite_strict)
    lite_strict.accept(lot, purchase_order="PO-7")
    lite_strict.clock.pass_by(hours=2)
    lite_strict.accept(lot, by=otto)

    beside = json.loads(papers.paper(lite_strict.parts, otto, lot, "acceptance").content)["beside"]

    assert [(yes["name"], yes["email"], yes["at"], yes["purchase_order"]) for yes in beside["yeses"]] == [
        ("Harriet Finch", "harriet@example.com", "2027-05-04T08:00-05:00", "PO-7"),
        ("Otto Lind", "otto@example.com", "2027-05-04T10:00-05:00", ""),
    ]
    assert beside["fingerprint"] == lite_strict.sheet(lot).revisions[0].fingerprint


@pytest.mark.parametrize(
    ("typed", "kept"), [("5,000", "5000.00"), ("$12.5", "12.50"), ("", None), (" ", None)]
)
def test_the_amount_is_kept_as_money_or_not_at_all(lite: House, typed: str, kept: str | None) -> None:
    set_second_over(lite.parts, lite.builder, typed)

    found = second_over(lite.parts, lite.builder)
    assert found == (Decimal(kept) if kept else None)


def test_a_change_of_the_amount_stands_in_the_history_once(lite: House) -> None:
    for typed in ("100", "100.00", ""):
        set_second_over(lite.parts, lite.builder, typed)

    assert lite.verbs().count("second person") == 2


def test_what_is_no_amount_is_told_at_its_field(lite: House) -> None:
    assert list(problems(lambda: set_second_over(lite.parts, lite.builder, "a lot"))) == ["second_over"]


def test_the_amount_is_set_by_who_manages_people_and_for_their_own_company(lite: House) -> None:
    asks = replace(lite.builder, rights=frozenset({"accept", "money"}))

    with pytest.raises(NotAllowed):
        set_second_over(lite.parts, asks, "100")
    set_second_over(lite.parts, lite.rival, "100")

    assert second_over(lite.parts, lite.builder) is None


def test_another_company_knows_nothing_of_it(lite_strict: House) -> None:
    lot = lite_strict.sent()
    lite_strict.accept(lot)

    calls: tuple[Callable[[], object], ...] = (
        lambda: answers(lite_strict.parts, lite_strict.rival, lot, 1),
        lambda: quoting.take_back(lite_strict.parts, lite_strict.rival, lot, 1),
    )
    for call in calls:
        with pytest.raises(NotFound):
            call()


def test_somebody_who_left_is_not_asked_for_the_second(lite_strict: House) -> None:
    lot, otto = lite_strict.sent(), colleague(lite_strict)
    change(lite_strict, otto, active=False)

    lite_strict.accept(lot)

    assert [to for kind, to in lite_strict.letters() if kind == "second_yes"] == []
