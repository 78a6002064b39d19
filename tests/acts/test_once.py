"""Sent twice, done once; and nothing half done, whatever fails."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any

import pytest

from portal.acts import asking, upkeep
from portal.acts.parts import WrittenLetter
from portal.core.errors import Overtaken, Refused
from portal.store.tables import (
    History,
    Invoice,
    Letter,
    Lot,
    OnceKey,
    Payment,
    Takeoff,
    TreatmentRecord,
    Warranty,
)
from tests.parts.at_once import at_once
from tests.parts.house import House, PlainLetters
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow


class LetterFailed(Exception):
    """The letter writer broke."""


class FailingLetters(PlainLetters):
    """Breaks at letters of one kind."""

    def __init__(self, kind: str) -> None:
        self.kind = kind

    def write(self, kind: str, values: Mapping[str, Any]) -> WrittenLetter:
        """A letter, or not."""
        if kind == self.kind:
            raise LetterFailed(kind)
        return super().write(kind, values)


def counts(house: House) -> list[int]:
    tables = (History, Invoice, Letter, Lot, OnceKey, Payment, Takeoff, TreatmentRecord, Warranty)
    return [house.rows(table) for table in tables]


def test_asking_twice_with_one_key_makes_one_lot_and_answers_the_same(lite: House) -> None:
    asked, key = lite.lot_asked(), lite.key()

    first = asking.ask(lite.parts, lite.builder, asked, key)
    second = asking.ask(lite.parts, lite.builder, asked, key)

    assert first == second
    assert lite.rows(Lot) == 1


def test_asking_twice_at_the_same_moment_makes_one_lot_and_answers_the_same(house: House) -> None:
    asked, key = house.lot_asked(), house.key()
    ask = partial(asking.ask, house.parts, house.builder, asked, key)

    answers = at_once(*[ask] * 4)

    assert len(set(answers)) == 1, answers
    assert house.rows(Lot) == 1


def test_two_people_may_have_the_same_key(lite: House) -> None:
    for who in (lite.builder, lite.rival):
        asking.ask(lite.parts, who, lite.lot_asked(), "the same")

    assert lite.rows(Lot) == 2


def test_a_form_gone_back_to_and_sent_with_something_else_is_not_taken_for_done(lite: House) -> None:
    key = lite.key()
    asking.ask(lite.parts, lite.builder, lite.lot_asked(name="Lot 1"), key)

    said = refusal(lambda: asking.ask(lite.parts, lite.builder, lite.lot_asked(name="Lot 2"), key))

    assert said.startswith("This form was sent before, with something else in it.")
    assert lite.rows(Lot) == 1


@pytest.mark.parametrize("key", ["", "k" * 41])
def test_a_form_without_a_key_is_not_whole(lite: House, key: str) -> None:
    said = refusal(lambda: asking.ask(lite.parts, lite.builder, lite.lot_asked(), key))

    assert said == "This form was not whole. Open the page again and send it from there."


def test_the_longest_keys_do_not_run_into_each_other(lite: House) -> None:
    lot = lite.treated()

    for n in range(2):
        lite.pay(lot, "1.00", key="k" * 39 + str(n), reference=str(n))

    assert lite.rows(Payment) == 2


def test_what_was_refused_can_be_mended_and_sent_with_the_same_key(lite: House) -> None:
    lot, key = lite.booked(), lite.key()
    lite.clock.turn_to(lite.parts.today(), 18)
    whole = lite.entry(lot)

    found = problems(lambda: lite.mark(lot, whole | {"signed_by": ""}, key))
    lite.mark(lot, whole, key)

    assert list(found) == ["signed_by"]
    assert lite.sheet(lot).stage == "treated"


def test_a_form_that_was_overtaken_can_be_sent_again_with_the_newer_version(lite: House) -> None:
    lot = lite.to_check()
    seen = lite.version(lot)
    asking.change(lite.parts, lite.builder, lot, seen, lite.lot_asked(notes="Gate code 7."))

    with pytest.raises(Overtaken) as caught:
        asking.change(lite.parts, lite.office, lot, seen, lite.lot_asked(notes="Call ahead."))
    asking.change(lite.parts, lite.office, lot, lite.version(lot), lite.lot_asked(notes="Call ahead."))

    assert (caught.value.by, str(caught.value.did)) == ("Harriet Finch", "changed what was asked")
    assert lite.sheet(lot).notes == "Call ahead."


def test_of_two_office_people_at_once_the_second_is_overtaken(house: House) -> None:
    lot = house.asked()
    seen = house.version(lot)
    change = partial(asking.change, house.parts, house.office, lot, seen, house.lot_asked())

    answers = at_once(change, change)

    assert sorted(type(answer) for answer in answers if answer) == [Overtaken]
    assert house.verbs(lot) == ["asked", "corrected"]


def test_accepting_twice_at_the_same_moment_makes_one_job(house: House) -> None:
    lot, key = house.sent(), house.key()

    answers = at_once(*[partial(house.accept, lot, key=key)] * 3)

    assert answers == [None] * 3
    assert house.verbs(lot).count("accepted") == 1


def test_two_who_accept_at_the_same_moment_make_one_job_and_the_second_is_told(house: House) -> None:
    lot = house.sent()
    second = house.person("builder", "Gil Otter", company_id=house.builder.company_id)

    answers = at_once(partial(house.accept, lot), partial(house.accept, lot, by=second))

    refused = [answer for answer in answers if answer is not None]
    assert [str(r.says) for r in refused if isinstance(r, Refused)] == ["This quote is already accepted."]
    assert house.verbs(lot).count("accepted") == 1


def test_marking_treated_twice_at_the_same_moment_bills_once(house: House) -> None:
    lot, key = house.booked(), house.key()
    house.clock.turn_to(house.parts.today(), 18)
    mark = partial(house.mark, lot, house.entry(lot), key)

    answers = at_once(mark, mark)

    assert answers == [None, None]
    assert (house.rows(Invoice), house.rows(TreatmentRecord), house.rows(Warranty)) == (1, 1, 1)


def test_two_payments_at_the_same_moment_never_come_to_more_than_is_open(house: House) -> None:
    lot = house.treated()
    whole = str(house.open_of(lot))

    answers = at_once(*[partial(house.pay, lot, whole, reference=str(n)) for n in range(3)])

    assert len([answer for answer in answers if answer is None]) == 1, answers
    assert house.open_of(lot) == 0
    assert house.rows(Payment) == 1


def test_a_payment_sent_twice_at_the_same_moment_is_recorded_once(house: House) -> None:
    lot, key = house.treated(), house.key()

    answers = at_once(*[partial(house.pay, lot, "1.00", key)] * 3)

    assert answers == [None] * 3
    assert house.rows(Payment) == 1


WITH_LETTERS = {
    "asked": ("asked", lambda h, lot: h.asked()),
    "quote_sent": ("approved", lambda h, lot: h.sent(lot)),
    "quote_accepted": ("sent", lambda h, lot: h.accept(lot)),
    "quote_accepted_copy": ("sent", lambda h, lot: h.accept(lot)),
    "booked": ("accepted", lambda h, lot: h.booked(lot)),
    "stop_booked": ("accepted", lambda h, lot: h.booked(lot)),
    "treated": ("booked", lambda h, lot: h.mark(lot, h.entry(lot))),
    "treated_office": ("booked", lambda h, lot: h.mark(lot, h.entry(lot))),
    "in_force": ("treated", lambda h, lot: h.paid(lot)),
}


@pytest.mark.parametrize("kind", WITH_LETTERS)
def test_when_a_letter_fails_nothing_of_the_act_is_left(house: House, kind: str) -> None:
    before, act = WITH_LETTERS[kind]
    lot = getattr(house, before)()
    house.clock.turn_to(house.parts.today(), 18)
    kept, sheet = counts(house), house.sheet(lot)

    house.parts = replace(house.parts, letters=FailingLetters(kind))
    with pytest.raises(LetterFailed):
        act(house, lot)

    assert counts(house) == kept
    assert house.sheet(lot) == sheet
    assert upkeep.broken_link(house.parts) is None


def test_numbers_have_no_gap_where_an_act_failed(house: House) -> None:
    lot = house.booked()
    house.clock.turn_to(house.parts.today(), 18)
    whole = house.parts
    house.parts = replace(whole, letters=FailingLetters("treated"))
    with pytest.raises(LetterFailed):
        house.mark(lot, house.entry(lot))

    house.parts = whole
    house.mark(lot, house.entry(lot))

    assert house.invoice(lot).document.number == "INV-2027-0001"
    assert house.invoice(lot).document.treatment == "TR-2027-0001"


def test_every_act_tells_who_did_what_and_whom_it_was_told(lite: House) -> None:
    lot = lite.paid()

    lines = lite.sheet(lot).history
    told = [kind for kind, _ in lite.letters()]

    assert [(line.by, str(line.verb)) for line in reversed(lines)] == [
        ("Harriet Finch", "asked for a price"), ("Terrence Udall", "started the quote"),
        ("Terrence Udall", "approved the quote"), ("Terrence Udall", "sent the quote"),
        ("Harriet Finch", "accepted the quote"), ("Terrence Udall", "booked the treatment"),
        ("Wendell Pike", "marked it treated"), ("Wendell Pike", "the invoice was issued"),
        ("Wendell Pike", "the warranty record was made, held"), ("Terrence Udall", "recorded a payment"),
        ("Terrence Udall", "the warranty came into force"),
    ]  # fmt: skip
    assert {kind: told.count(kind) for kind in told if kind != "invitation"} == {
        "asked": 2, "quote_sent": 1, "quote_accepted": 2, "quote_accepted_copy": 1, "booked": 1,
        "stop_booked": 1,
        "treated": 1, "treated_office": 2, "in_force": 1,
    }  # fmt: skip
