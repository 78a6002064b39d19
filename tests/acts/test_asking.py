"""A builder asks for a price, changes what was asked, asks again."""

from __future__ import annotations

from datetime import date

import pytest

from portal.acts import asking, estimating, quoting
from portal.core.errors import Overtaken
from portal.store.tables import Lot
from tests.parts.house import House, ranch
from tests.parts.refusals import problems, refusal

MISSING = "This is missing."


def test_a_lot_that_was_asked_for_shows_its_feet_and_price(lite: House) -> None:
    lot = lite.asked(subdivision="Quarry Bend", siding_starts=date(2027, 6, 1))

    sheet = lite.sheet(lot)

    assert (sheet.stage, sheet.company) == ("asked", "Harrow & Finch Homes")
    assert (sheet.place.subdivision, sheet.siding_starts) == ("Quarry Bend", date(2027, 6, 1))
    assert sheet.takeoff.estimate["feet"]["total"] == "296.00"  # ANSI/ASHRAE 140, case L100: 168 + 128 ft
    assert sheet.sheets == ("now", "next", "ahead", "ahead", "ahead")
    assert [to for kind, to in lite.letters() if kind == "asked"] == [
        "odile@example.com",
        "terrence@example.com",
    ]


def test_one_subdivision_whatever_its_case(lite: House) -> None:
    for name in ("Quarry Bend", "  quarry bend ", "QUARRY BEND"):
        lot = lite.asked(subdivision=name)

    assert lite.sheet(lot).place.subdivision == "Quarry Bend"


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("name", "", MISSING),
        ("name", "   ", MISSING),
        ("name", "x" * 201, "At most 200 characters, please."),
        ("name", "Lot\x00 1", "There is a character in here that cannot be printed."),
        ("name", "Lot \ud800", "There is a character in here that cannot be printed."),
        ("subdivision", "x" * 201, "At most 200 characters, please."),
        ("house_number", "", MISSING),
        ("house_number", "--", "A house number has a digit or a letter."),
        ("house_number", "1" * 21, "At most 20 characters, please."),
        ("street", "", MISSING),
        ("town", "", MISSING),
        ("state", "", MISSING),
        ("postal_code", "", MISSING),
        ("notes", "x" * 4001, "At most 4000 characters, please."),
        ("foundation", "stilts", "Choose what the house stands on."),
        ("foundation", "", "Choose what the house stands on."),
    ],
)
def test_what_cannot_be_is_told_at_its_field(lite: House, field: str, value: str, said: str) -> None:
    found = problems(lambda: lite.asked(**{field: value}))

    assert found == {field: said}
    assert lite.rows(Lot) == 0


def test_every_problem_is_told_and_not_just_the_first(lite: House) -> None:
    found = problems(lambda: lite.asked(name="", street="", foundation="stilts"))

    assert list(found) == ["name", "street", "foundation"]


def test_a_house_that_cannot_be_is_told_at_its_path(lite: House) -> None:
    house = ranch(interior="minus one")

    assert list(problems(lambda: lite.asked(house=house))) == ["levels[0].interior.length"]
    assert list(problems(lambda: estimating.work_out(lite.parts, lite.builder, house))) == [
        "levels[0].interior.length"
    ]


def test_the_longest_names_fit_in_the_history_and_in_a_letter(house: House) -> None:
    lot = house.asked(name="n" * 200, house_number="ß" * 20, street="s" * 200)

    assert house.paid(
        house.treated(house.booked(house.accepted(house.sent(house.approved(house.to_check(lot))))))
    )


def test_working_out_keeps_nothing(lite: House) -> None:
    figures = estimating.work_out(lite.parts, lite.builder, ranch())

    assert figures.answer["feet"]["second_coat"] == "57.00"
    assert figures.steps
    assert lite.rows(Lot) == 0


def test_a_change_makes_a_new_edition_of_the_takeoff(lite: House) -> None:
    lot = lite.asked()

    asking.change(
        lite.parts, lite.builder, lot, lite.version(lot), lite.lot_asked(house=ranch("open", "100"))
    )

    takeoff = lite.sheet(lot).takeoff
    assert (takeoff.edition, takeoff.estimate["feet"]["total"]) == (2, "268.00")
    assert lite.verbs(lot) == ["asked", "changed"]


def test_a_change_of_what_was_approved_has_it_checked_again(house: House) -> None:
    lot = house.approved()

    asking.change(house.parts, house.office, house.sheet(lot).id, house.version(lot),
                  house.lot_asked(house=ranch("open")))  # fmt: skip

    revision = house.sheet(lot).revision
    assert revision is not None and revision.document is not None
    assert (revision.state, revision.total, revision.approved_by) == ("to check", None, "")
    assert revision.document.offer.total == house.sheet(house.approved(lot)).revisions[0].total


@pytest.mark.parametrize("stage", ["sent", "accepted", "booked", "treated"])
def test_what_is_sent_is_not_changed(lite: House, stage: str) -> None:
    lot = getattr(lite, stage)()
    version = lite.version(lot)

    said = refusal(lambda: asking.change(lite.parts, lite.builder, lot, version, lite.lot_asked()))

    assert said.endswith("ask again, or begin a new revision.")


def test_changing_by_an_old_version_is_overtaken_and_changes_nothing(lite: House) -> None:
    lot = lite.asked()
    version = lite.version(lot)
    lite.to_check(lot)

    with pytest.raises(Overtaken) as caught:
        asking.change(lite.parts, lite.builder, lot, version, lite.lot_asked(notes="Late."))

    assert (caught.value.by, str(caught.value.did)) == ("Terrence Udall", "started the quote")
    assert lite.sheet(lot).notes == ""


@pytest.mark.parametrize("ending", ["sent", "declined", "lapsed"])
def test_asking_again_begins_a_revision_to_be_checked(lite: House, ending: str) -> None:
    lot = lite.sent()
    if ending == "declined":
        quoting.decline(lite.parts, lite.builder, lot, 1, "Too dear.", lite.key())
    if ending == "lapsed":
        lite.clock.pass_by(days=31)
        quoting.lapse(lite.parts)

    asking.ask_again(lite.parts, lite.builder, lot, lite.version(lot), lite.lot_asked(house=ranch("open")))

    assert lite.sheet(lot).stage == "to check"
    assert [(r.number, r.state) for r in lite.sheet(lot).revisions] == [(2, "to check"), (1, ending)]


@pytest.mark.parametrize("stage", ["asked", "to_check", "accepted"])
def test_there_is_nothing_to_ask_again(lite: House, stage: str) -> None:
    lot = getattr(lite, stage)()
    version = lite.version(lot)

    said = refusal(lambda: asking.ask_again(lite.parts, lite.builder, lot, version, lite.lot_asked()))

    assert said == f"There is nothing to ask again: the lot is {stage.replace('_', ' ')}."
