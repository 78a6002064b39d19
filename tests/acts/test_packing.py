"""Lots put together, priced together, sent and answered together."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from portal.acts import asking, packing, quoting
from portal.acts import package_answer as answers
from portal.acts import package_office as office
from portal.acts.package_answer import Seen
from portal.acts.second_person import set_second_over
from portal.core.documents import QuoteDocument, from_stored, to_stored
from portal.core.errors import BadInput, NotAllowed, NotFound, Overtaken, Refused
from tests.parts.at_once import at_once
from tests.parts.house import House, ranch
from tests.parts.packages import (
    L100,
    TOGETHER,
    asked_for,
    lots_of,
    packed,
    press,
    seen_of,
    sent_package,
    shown,
)

pytestmark = pytest.mark.slow


@pytest.fixture
def pooled(house: House) -> House:
    """A house whose rate book runs its slices over a package, without a call-out; tax of 7 %."""
    house.enter("rates", TOGETHER)
    return house


def accept(house: House, package_id: str, *which: int, **changes: Any) -> answers.Answered:
    given = {"seen": seen_of(house, package_id, *which), "name": "Harriet Finch", "purchase_order": "PO-9",
             "once_key": house.key()} | changes  # fmt: skip
    return answers.accept_lots(house.parts, house.builder, package_id, **given)


def document(house: House, lot_id: str) -> QuoteDocument:
    revision = house.sheet(lot_id).revision
    assert revision is not None and revision.document is not None
    return revision.document


def treatment(quote: QuoteDocument) -> Decimal:
    return next(line.amount for line in quote.offer.lines if line.what == "treatment")


def test_a_sent_quote_says_its_package_and_what_its_slices_ran_over(pooled: House) -> None:
    """By hand: 888 ft are 300 at 1.45 and 588 at 1.20, 1140.60; a third of it each, and up to 395.00."""
    package_id = sent_package(pooled)

    quote = document(pooled, lots_of(pooled, package_id)[0])

    assert quote.package is not None
    assert (quote.package.number, quote.package.name) == ("P-2027-0001", "Lime Kiln Lane")
    assert [(lot.lot, str(lot.feet)) for lot in quote.package.lots] == [
        ("Lot 1", "296.00"), ("Lot 2", "296.00"), ("Lot 3", "296.00")
    ]  # fmt: skip
    assert (str(quote.package.feet), str(quote.package.whole)) == ("888.00", "1140.60")
    assert (str(treatment(quote)), str(quote.package.alone)) == ("380.20", "429.20")
    assert [(line.what, str(line.amount)) for line in quote.offer.lines] == [
        ("treatment", "380.20"), ("minimum", "14.80")
    ]  # fmt: skip
    assert str(quote.offer.total) == "422.65"


def test_without_the_term_a_package_changes_no_price(house: House) -> None:
    package_id = sent_package(house)

    quote = document(house, lots_of(house, package_id)[0])

    assert quote.package is not None and quote.package.lots == ()
    assert str(treatment(quote)) == "429.20"


def test_what_the_office_approved_and_sends_is_what_was_shown(pooled: House) -> None:
    package_id = packed(pooled)
    press(pooled, package_id, "start")
    before = {lot.id: lot.total for lot in shown(pooled, package_id).lots}
    press(pooled, package_id, "approve")
    press(pooled, package_id, "send")

    assert {lot.id: lot.total for lot in shown(pooled, package_id).lots} == before
    assert shown(pooled, package_id).total == sum(before.values(), Decimal(0))


def test_one_letter_goes_out_for_the_package(pooled: House) -> None:
    package_id = sent_package(pooled)
    kinds = [kind for kind, _ in pooled.letters()]

    assert kinds.count("package_sent") == 1
    assert "quote_sent" not in kinds
    accept(pooled, package_id)
    kinds = [kind for kind, _ in pooled.letters()]
    assert kinds.count("package_accepted") == 2  # both of the office
    assert kinds.count("package_accepted_copy") == 1
    assert "quote_accepted" not in kinds


def test_what_cannot_be_is_said_by_lot_and_the_rest_is_done(pooled: House) -> None:
    lots = asked_for(pooled)
    package_id = packed(pooled, lots)
    pooled.to_check(lots[0])
    pooled.to_check(lots[1])

    approved = press(pooled, package_id, "approve")
    sent_now = press(pooled, package_id, "send")

    assert (approved.done, [lot for lot, _ in approved.left]) == (2, ["Lot 3"])
    assert (sent_now.done, [(lot, str(says)) for lot, says in sent_now.left]) == (
        2, [("Lot 3", "The quote is not started yet.")]
    )  # fmt: skip
    assert [lot.stage for lot in shown(pooled, package_id).lots] == ["sent", "sent", "asked"]


def test_a_lot_that_changed_takes_the_approval_of_the_others_back(pooled: House) -> None:
    lots = asked_for(pooled)
    package_id = packed(pooled, lots)
    press(pooled, package_id, "start")
    press(pooled, package_id, "approve")
    longer = pooled.lot_asked(house=ranch(siding="open", interior="228"))
    asking.change(pooled.parts, pooled.builder, lots[2], pooled.version(lots[2]), longer)

    outcome = press(pooled, package_id, "send")

    assert outcome.done == 0
    assert [str(says).endswith("approve it once more.") for _, says in outcome.left] == [True, True, False]
    with pytest.raises(Refused, match="package has changed"):
        quoting.send(pooled.parts, pooled.office, lots[0], pooled.version(lots[0]))
    assert (press(pooled, package_id, "approve").done, press(pooled, package_id, "send").done) == (3, 3)


def test_a_press_on_what_was_not_shown_is_overtaken(pooled: House) -> None:
    lots = asked_for(pooled)
    package_id = packed(pooled, lots)
    seen = shown(pooled, package_id).seen
    pooled.to_check(lots[0])

    with pytest.raises(Overtaken):
        office.press(pooled.parts, pooled.office, package_id, "start", seen, pooled.key())

    assert pooled.sheet(lots[1]).stage == "asked"


def test_pressed_twice_it_is_done_once_and_answers_the_same(pooled: House) -> None:
    package_id = packed(pooled)
    seen, key = shown(pooled, package_id).seen, pooled.key()
    pressed = partial(office.press, pooled.parts, pooled.office, package_id, "start", seen, key)

    assert pressed() == pressed()
    assert pooled.verbs().count("started") == 3


def test_accepted_lot_by_lot_each_lot_keeps_its_price(pooled: House) -> None:
    """Each lot's price holds by itself: what is accepted first, and what later, comes to what was quoted."""
    package_id = sent_package(pooled)
    totals = [lot.total for lot in shown(pooled, package_id).lots]

    first = accept(pooled, package_id, 1)
    rest = accept(pooled, package_id)

    assert (first.accepted, rest.accepted) == (1, 2)
    rows = shown(pooled, package_id).lots
    assert [lot.stage for lot in rows] == ["accepted"] * 3
    assert [lot.total for lot in rows] == totals
    assert all(pooled.sheet(lot.id).job is not None for lot in rows)


def test_an_acceptance_keeps_name_order_and_fingerprint_of_every_lot(pooled: House) -> None:
    package_id = sent_package(pooled)
    accept(pooled, package_id)

    for lot_id in lots_of(pooled, package_id):
        sheet = pooled.sheet(lot_id)
        line = next(one for one in sheet.history if str(one.verb) == "accepted the quote")
        assert sheet.accepted is not None
        assert line.details["fingerprint"] == sheet.accepted.fingerprint
        assert (line.details["name"], line.details["purchase_order"]) == ("Harriet Finch", "PO-9")


def test_one_lot_that_cannot_be_accepted_keeps_all_from_it(pooled: House) -> None:
    package_id = sent_package(pooled)
    lots, seen = lots_of(pooled, package_id), seen_of(pooled, package_id)
    quoting.decline(pooled.parts, pooled.builder, lots[0], 1, "Sold.", pooled.key())

    with pytest.raises(BadInput) as refused:
        accept(pooled, package_id, seen=seen)

    assert [(p.at, str(p.says)) for p in refused.value.problems] == [
        ("lots", "Lot 1: This quote is already declined.")
    ]  # fmt: skip
    assert [pooled.sheet(lot).stage for lot in lots] == ["declined", "sent", "sent"]


def test_only_what_was_seen_is_accepted(pooled: House) -> None:
    package_id = sent_package(pooled)
    (one,) = seen_of(pooled, package_id, 0)

    with pytest.raises(BadInput, match="not the quote that was shown"):
        accept(pooled, package_id, seen=(Seen(one.lot_id, one.number, "0" * 64),))


@pytest.mark.parametrize(
    ("changes", "at"), [({"name": " "}, "name"), ({"seen": ()}, "lots"), ({"purchase_order": "x" * 81},
    "purchase_order")],
)  # fmt: skip
def test_an_acceptance_that_is_not_whole_is_told_at_its_field(
    pooled: House, changes: dict[str, Any], at: str
) -> None:
    package_id = sent_package(pooled)

    with pytest.raises(BadInput) as refused:
        accept(pooled, package_id, **changes)

    assert [p.at for p in refused.value.problems] == [at]


def test_declined_lots_take_their_feet_out_of_the_sum(pooled: House) -> None:
    package_id = sent_package(pooled)
    lots = lots_of(pooled, package_id)
    count = answers.decline_lots(pooled.parts, pooled.builder, package_id, seen_of(pooled, package_id, 0),
                                 "Sold.", pooled.key())  # fmt: skip
    quoting.revise(pooled.parts, pooled.office, lots[1], pooled.version(lots[1]))

    quote = document(pooled, lots[1])

    assert count == 1
    assert quote.package is not None
    assert [lot.lot for lot in quote.package.lots] == ["Lot 2", "Lot 3"]
    assert str(quote.package.feet) == "592.00"


def test_a_lot_asked_again_keeps_its_place_among_those_still_in(pooled: House) -> None:
    package_id = sent_package(pooled)
    lots = lots_of(pooled, package_id)
    accept(pooled, package_id, 0)
    again = pooled.lot_asked(house=L100, name="Lot 2")
    asking.ask_again(pooled.parts, pooled.builder, lots[1], pooled.version(lots[1]), again)

    quote = document(pooled, lots[1])

    assert quote.package is not None and str(quote.package.feet) == "888.00"
    assert str(treatment(quote)) == "380.20"


def test_a_lot_taken_out_is_priced_by_itself_again(pooled: House) -> None:
    lots = asked_for(pooled)
    package_id = packed(pooled, lots)
    press(pooled, package_id, "start")
    press(pooled, package_id, "approve")

    packing.take_out(pooled.parts, pooled.builder, package_id, lots[0], pooled.version(lots[0]))

    assert pooled.sheet(lots[0]).stage == "to check"
    assert document(pooled, lots[0]).package is None
    assert lots_of(pooled, package_id) == lots[1:]
    assert press(pooled, package_id, "send").done == 0  # the others are 592 ft together now
    assert pooled.verbs(lots[0]) == ["asked", "packed", "started", "approved", "unpacked"]


def test_once_sent_a_lot_stays_and_no_more_come_in(pooled: House) -> None:
    lots = asked_for(pooled, 4)
    package_id = sent_package(pooled, packed(pooled, lots[:3]))

    with pytest.raises(Refused, match="cannot be taken out"):
        packing.take_out(pooled.parts, pooled.office, package_id, lots[0], pooled.version(lots[0]))
    with pytest.raises(Refused, match="takes no more lots"):
        packing.put_in(pooled.parts, pooled.builder, package_id, (lots[3],), pooled.key())


def test_more_lots_come_in_as_long_as_nothing_is_sent(pooled: House) -> None:
    lots = asked_for(pooled, 3)
    package_id = packed(pooled, lots[:2])

    packing.put_in(pooled.parts, pooled.builder, package_id, (lots[2],), pooled.key())

    assert lots_of(pooled, package_id) == lots


def test_only_lots_with_the_office_and_in_no_package_are_put_together(house: House) -> None:
    first, second = asked_for(house, 2)
    out = house.sent()
    packed(house, [first, second])

    with pytest.raises(BadInput) as refused:
        packed(house, [first, out])

    assert sorted(str(p.says) for p in refused.value.problems) == [
        "Lot 1 is in a package already: take it out there first.",
        "Lot 3 is no longer with the office: its quote is out.",
    ]
    with pytest.raises(BadInput, match="two lots at least"):
        packed(house, [first, first])


def test_another_builders_lots_and_packages_are_not_there(house: House) -> None:
    own, theirs = house.asked(), house.asked(by=house.rival)
    package_id = packed(house)

    with pytest.raises(NotFound):
        packed(house, [own, theirs])
    with pytest.raises(NotFound):
        shown(house, package_id, house.rival)
    with pytest.raises(NotFound):
        packing.put_in(house.parts, house.rival, package_id, (theirs,), house.key())
    with pytest.raises(NotFound):
        answers.accept_lots(house.parts, house.rival, package_id, (Seen("x", 1, "y"),), "Bram", "", "k")
    with pytest.raises(NotAllowed):
        shown(house, package_id, house.technician)


def test_lots_of_two_packages_are_not_answered_in_one(pooled: House) -> None:
    first, second = sent_package(pooled), sent_package(pooled)

    with pytest.raises(NotFound):
        accept(pooled, first, seen=seen_of(pooled, second, 0))


def test_two_people_at_once_accept_a_lot_once(pooled: House) -> None:
    package_id = sent_package(pooled)
    seen = seen_of(pooled, package_id)
    keys = [pooled.key() for _ in range(2)]

    found = at_once(*[partial(accept, pooled, package_id, seen=seen, once_key=key) for key in keys])

    assert sorted(type(one).__name__ for one in found) == ["Answered", "BadInput"]
    assert pooled.verbs().count("accepted") == 3


def test_office_and_builder_at_once_leave_no_half(pooled: House) -> None:
    lots = asked_for(pooled)
    package_id = packed(pooled, lots)
    press(pooled, package_id, "start")
    press(pooled, package_id, "approve")
    seen, version = shown(pooled, package_id).seen, pooled.version(lots[0])

    found = at_once(
        partial(office.press, pooled.parts, pooled.office, package_id, "send", seen, pooled.key()),
        partial(packing.take_out, pooled.parts, pooled.builder, package_id, lots[0], version),
    )

    stages = [pooled.sheet(lot).stage for lot in lots]
    assert stages in (["sent"] * 3, ["to check", "approved", "approved"])
    assert sum(isinstance(one, Exception) for one in found) == 1


def test_over_an_amount_a_package_takes_two_people_by_the_sum_of_what_is_accepted(pooled: House) -> None:
    """Each lot comes to 422.65, all three to 1,267.95: only together they are over 1,000."""
    otto = pooled.person("builder", "Otto Lind", company_id=pooled.builder.company_id)
    set_second_over(pooled.parts, pooled.builder, "1000")
    package_id = sent_package(pooled)
    seen = seen_of(pooled, package_id)

    first = accept(pooled, package_id)
    between = shown(pooled, package_id, pooled.builder)
    with pytest.raises(BadInput, match="Lot 1: Your yes is kept already"):
        accept(pooled, package_id, seen=seen)
    second = answers.accept_lots(pooled.parts, otto, package_id, seen, "Otto Lind", "", pooled.key())

    assert ((first.accepted, first.waiting), (second.accepted, second.waiting)) == ((0, 3), (3, 0))
    assert [(lot.first_yes, lot.own_yes, lot.answerable) for lot in between.lots] == [
        ("Harriet Finch", True, False)
    ] * 3  # fmt: skip
    kinds = [(kind, to) for kind, to in pooled.letters() if kind.startswith("package_")]
    assert kinds.count(("package_second_yes", "otto@example.com")) == 1
    assert {to for kind, to in kinds if kind == "package_accepted_copy"} == {
        "harriet@example.com", "otto@example.com"
    }  # fmt: skip
    assert "second_yes" not in [kind for kind, _ in pooled.letters()]


def test_one_lot_under_the_amount_takes_one_person(pooled: House) -> None:
    set_second_over(pooled.parts, pooled.builder, "1000")
    package_id = sent_package(pooled)

    assert accept(pooled, package_id, 0).accepted == 1


def test_a_quote_of_before_there_were_packages_still_reads(house: House) -> None:
    quote = document(house, house.sent(house=L100))
    stored = to_stored(quote)
    del stored["package"]

    assert from_stored(QuoteDocument, stored) == quote
