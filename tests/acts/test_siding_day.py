"""The day siding starts, given after the lot was asked for; and what waiting costs, held to the invoice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from portal.acts import asking, booking, quoting
from portal.acts.siding_day import give_siding_day
from portal.core.errors import NotFound, Overtaken
from portal.core.pricing.waiting import cost_of_waiting
from tests.parts.house import House, ranch
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

DAY = date(2027, 6, 1)


def give(house: House, lot: str, day: date | None = DAY, version: int | None = None, by: Any = None) -> None:
    """The builder gives the day, looking at the lot as it stands."""
    seen = house.version(lot) if version is None else version
    give_siding_day(house.parts, by or house.builder, lot, seen, day)


@pytest.mark.parametrize("stage", ["asked", "to_check", "sent", "accepted"])
def test_the_day_is_kept_until_a_treatment_is_booked(house: House, stage: str) -> None:
    lot = getattr(house, stage)()

    give(house, lot)

    sheet = house.sheet(lot)
    assert sheet.siding_starts == DAY and sheet.may_give_siding_day
    assert (sheet.history[0].by, str(sheet.history[0].verb)) == (
        "Harriet Finch",
        "gave the day siding starts",
    )
    assert sheet.history[0].details == {"day": "2027-06-01"}


def told(house: House) -> list[str]:
    """Who in the office was told of a day."""
    return [to for kind, to in house.letters() if kind == "frame_days"]


OFFICE = ["odile@example.com", "terrence@example.com"]


def test_the_office_is_told_once_of_a_day_that_a_builder_gives_or_changes(house: House) -> None:
    lot = house.sent()

    for day in (DAY, DAY, DAY + timedelta(days=2)):
        give(house, lot, day)

    assert sorted(told(house)) == sorted(OFFICE * 2)


def test_the_office_is_not_told_what_it_gave_itself(lite: House) -> None:
    give(lite, lite.sent(), by=lite.office)

    assert told(lite) == []


def test_changing_what_was_asked_and_asking_again_tell_of_both_days(lite: House) -> None:
    lot = lite.asked()
    asked = replace(lite.lot_asked(), insulation_starts=DAY)
    asking.change(lite.parts, lite.builder, lot, lite.version(lot), asked)
    assert told(lite) == OFFICE
    asking.change(lite.parts, lite.builder, lot, lite.version(lot), asked)
    asking.change(lite.parts, lite.office, lot, lite.version(lot), replace(asked, insulation_starts=None))
    assert told(lite) == OFFICE
    lite.sent(lite.approved(lite.to_check(lot)))
    asking.ask_again(lite.parts, lite.builder, lot, lite.version(lot), replace(asked, siding_starts=DAY))

    assert sorted(told(lite)) == sorted(OFFICE * 2)


def test_the_office_may_give_it_too(lite: House) -> None:
    lot = lite.sent()

    give(lite, lot, by=lite.office)

    assert lite.sheet(lot).history[0].by == "Terrence Udall"


@pytest.mark.parametrize("stage", ["booked", "treated", "paid"])
def test_once_it_is_booked_the_day_is_refused(lite: House, stage: str) -> None:
    lot = getattr(lite, stage)()

    said = refusal(lambda: give(lite, lot))

    assert said == "The treatment is booked or done: the day siding starts is no longer asked for."
    assert lite.sheet(lot).siding_starts is None and not lite.sheet(lot).may_give_siding_day


def test_a_booking_called_off_asks_for_the_day_again(lite: House) -> None:
    lot = lite.booked()
    booking.call_off(lite.parts, lite.office, lot, lite.version(lot), "Rain.")

    give(lite, lot)

    assert lite.sheet(lot).siding_starts == DAY


def test_what_was_sent_says_what_it_said(lite: House) -> None:
    lot = lite.sent()
    before = lite.sheet(lot).revisions[0]

    give(lite, lot)

    after = lite.sheet(lot).revisions[0]
    assert (after.document, after.fingerprint, after.state) == (before.document, before.fingerprint, "sent")
    lite.accept(lot)
    assert lite.sheet(lot).stage == "accepted"


def test_what_is_approved_and_not_sent_goes_back_to_be_checked(lite: House) -> None:
    lot = lite.approved()

    give(lite, lot)

    revision = lite.sheet(lot).revision
    assert revision is not None and (revision.state, revision.approved_by) == ("to check", "")
    lite.sent(lite.approved(lot))
    document = lite.sheet(lot).revisions[0].document
    assert document is not None and document.siding_starts == DAY


def test_the_same_day_twice_is_once(lite: House) -> None:
    lot = lite.sent()
    seen = lite.version(lot)

    give(lite, lot, version=seen)
    give(lite, lot, version=seen)

    assert lite.verbs(lot).count("siding day") == 1


def test_another_day_by_an_old_version_is_overtaken(lite: House) -> None:
    lot = lite.sent()
    seen = lite.version(lot)
    give(lite, lot, version=seen)

    with pytest.raises(Overtaken) as caught:
        give(lite, lot, DAY + timedelta(1), seen, lite.office)

    assert (caught.value.by, str(caught.value.did)) == ("Harriet Finch", "gave the day siding starts")
    assert lite.sheet(lot).siding_starts == DAY


def test_no_day_and_a_day_in_another_age_are_told_at_the_field(lite: House) -> None:
    lot = lite.sent()

    assert problems(lambda: give(lite, lot, None)) == {"siding_starts": "Enter the day siding starts."}
    for year in (1, 1999, 2207, 9999):
        said = problems(lambda day=date(year, 5, 4): give(lite, lot, day))  # type: ignore[misc]
        assert said["siding_starts"].endswith("is more than five years from today: look at the year.")
    assert lite.verbs(lot)[-1] == "sent"


def test_another_builders_lot_is_not_there(lite: House) -> None:
    lot = lite.sent()

    with pytest.raises(NotFound):
        give(lite, lot, by=lite.rival)


SIDES = {"by": "face", "north": "open", "east": "wrapped", "south": "sided", "west": "open"}


@pytest.mark.parametrize("siding", ["open", "wrapped", "sided", SIDES], ids=str)
@pytest.mark.parametrize(
    "rates",
    [
        {"tax_percent": "7", "call_out": "35.00"},
        {"tax_percent": "8.25", "discount_percent": "3", "minimum": "0"},
        {"tax_percent": "8.25", "minimum": "500"},
        {"tax_percent": "6", "minimum": "2000"},
        {"minimum": "0", "unwrap_per_foot": "1.10", "second_coat_per_foot": "0.37"},
    ],
    ids=["plain", "discount", "minimum in part", "minimum whole", "dear wrap"],
)
def test_what_waiting_costs_is_what_the_invoice_adds(lite: House, rates: dict[str, str], siding: Any) -> None:
    """A lot is treated with every wall found sided: its invoice is the price after, to the cent."""
    lite.enter("rates", rates)
    lot = lite.to_check(house=ranch(siding), siding_starts=DAY)
    quoting.add_extra(lite.parts, lite.office, lot, lite.version(lot), "Stairs", "Two flights", "85.55")
    lite.booked(lite.accepted(lite.sent(lite.approved(lot))))
    quoted = lite.sheet(lot).revisions[0].document
    assert quoted is not None

    lite.treated(lot, dict.fromkeys((wall.key for wall in quoted.walls), "sided"))

    cost, owed = cost_of_waiting(quoted), lite.invoice(lot).document.owed
    assert cost.after == owed.total
    assert cost.saving == owed.total - quoted.offer.total
