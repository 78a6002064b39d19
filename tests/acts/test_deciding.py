"""A builder accepts exactly what was seen, or declines it with a reason."""

from __future__ import annotations

import pytest

from portal.acts import quoting
from portal.core.errors import NotFound
from tests.parts.house import House
from tests.parts.refusals import problems, refusal


def decline(house: House, lot: str, reason: str = "Too dear.") -> None:
    quoting.decline(house.parts, house.builder, lot, 1, reason, house.key())


def resent(house: House, lot: str) -> None:
    """A second revision, sent."""
    quoting.revise(house.parts, house.office, lot, house.version(lot))
    house.sent(house.approved(lot))


def test_accepting_makes_a_job_and_keeps_name_and_order(house: House) -> None:
    lot = house.sent()

    house.accept(lot, name="Harriet Finch", purchase_order="PO-7")

    sheet = house.sheet(lot)
    assert sheet.accepted is not None and sheet.job is not None
    assert (sheet.accepted.decided_by, sheet.accepted.purchase_order) == ("Harriet Finch", "PO-7")
    assert (sheet.stage, sheet.job.number, sheet.job.state) == ("accepted", "J-2027-0001", "unscheduled")


def test_a_superseded_revision_is_refused_with_a_way_on(lite: House) -> None:
    lot = lite.sent()
    old = lite.sheet(lot).revisions[0]
    resent(lite, lot)

    said = refusal(lambda: lite.accept(lot, number=1, seen=old.fingerprint))

    assert said == "A newer revision has taken the place of this one. Open the newest and answer that."


@pytest.mark.parametrize("worker", [True, False])
def test_a_lapsed_quote_is_refused_with_a_way_on_whether_or_not_the_worker_came_by(
    lite: House, worker: bool
) -> None:
    lot = lite.sent()
    lite.clock.pass_by(days=31)
    if worker:
        quoting.lapse(lite.parts)

    said = refusal(lambda: lite.accept(lot))

    assert said == "This quote held until 2027-06-03 and has lapsed. Ask again: everything is carried over."


def test_a_quote_is_accepted_on_its_last_day(lite: House) -> None:
    lot = lite.sent()
    last = lite.sheet(lot).revisions[0].expires_on
    assert last is not None
    lite.clock.turn_to(last, 23, 59)

    lite.accept(lot)

    assert lite.sheet(lot).stage == "accepted"


def test_another_quote_than_the_one_seen_is_refused(lite: House) -> None:
    lot = lite.sent()

    said = refusal(lambda: lite.accept(lot, seen="0" * 64))

    assert said == "This is not the quote that was shown. Open it again, read it, and answer it there."


@pytest.mark.parametrize("number", [0, 2, -1])
def test_a_revision_that_is_not_there_is_not_found(lite: House, number: int) -> None:
    lot = lite.sent()

    with pytest.raises(NotFound):
        lite.accept(lot, number=number)


def test_a_revision_that_was_not_sent_is_not_there(lite: House) -> None:
    lot = lite.approved()

    with pytest.raises(NotFound):
        quoting.accept(lite.parts, lite.builder, lot, 1, "", "Name", "", lite.key())


def test_the_old_revision_can_be_accepted_while_a_new_one_is_in_the_making(lite: House) -> None:
    lot = lite.sent()
    quoting.revise(lite.parts, lite.office, lot, lite.version(lot))

    lite.accept(lot, number=1)

    assert [(r.number, r.state) for r in lite.sheet(lot).revisions] == [(2, "superseded"), (1, "accepted")]
    assert lite.sheet(lot).stage == "accepted"


def test_what_is_accepted_is_neither_accepted_again_nor_declined(lite: House) -> None:
    lot = lite.accepted()

    assert refusal(lambda: lite.accept(lot)) == "This quote is already accepted."
    assert refusal(lambda: decline(lite, lot)) == "This quote is already accepted."


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("name", "", "Type your name: it stands on the acceptance."),
        ("name", "  ", "Type your name: it stands on the acceptance."),
        ("name", "x" * 201, "At most 200 characters, please."),
        ("purchase_order", "x" * 81, "At most 80 characters, please."),
    ],
)
def test_a_signature_that_cannot_be_is_told_at_its_field(
    lite: House, field: str, value: str, said: str
) -> None:
    lot = lite.sent()

    assert problems(lambda: lite.accept(lot, **{field: value})) == {field: said}


def test_declining_keeps_the_reason_and_tells_the_office(lite: House) -> None:
    lot = lite.sent()

    decline(lite, lot, "The buyer chose another frame.")

    revision = lite.sheet(lot).revisions[0]
    assert (lite.sheet(lot).stage, revision.decline_reason) == ("declined", "The buyer chose another frame.")
    assert ("quote_declined", "terrence@example.com") in lite.letters()
    assert refusal(lambda: lite.accept(lot)) == "This quote is already declined."


@pytest.mark.parametrize("reason", ["", " ", "x" * 2001])
def test_declining_takes_a_reason(lite: House, reason: str) -> None:
    lot = lite.sent()

    assert list(problems(lambda: decline(lite, lot, reason))) == ["reason"]
