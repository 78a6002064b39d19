"""Something found bad: every record it concerns in one step, letters prepared, none sent without a person."""

from __future__ import annotations

from datetime import date
from functools import partial

import pytest

from portal.acts import amending, recall_letters, recalling
from portal.acts.amending import PageTyped
from portal.acts.recalling import RecallAsked, RecallView
from portal.store import holders
from portal.store.tables import Holder, Letter, Recall
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal
from tests.parts.warranties import owned, treated_with

pytestmark = pytest.mark.slow

BAD = RecallAsked("product lot", "bl-204")


def furnish(house: House) -> dict[str, str]:
    """Two lots of one builder and one of another with the bad lot, and one without it."""
    lots = {
        "Lot 1": treated_with(house, "Lot 1", "BL-204"),
        "Lot 2": treated_with(house, "Lot 2", "BL-203; BL 204"),
        "Lot 3": treated_with(house, "Lot 3", "BL-204", by=house.rival),
        "Lot 4": treated_with(house, "Lot 4", "BL-2040"),
    }
    owned(house, lots["Lot 1"], "Ada Roe", "ada@example.org")
    owned(house, lots["Lot 3"], "Ben Alder", "")
    return lots


def looked(house: House, asked: RecallAsked = BAD) -> list[str]:
    return sorted(one.row.lot for one in recalling.look(house.parts, house.office, asked).records)


def begin(house: House, asked: RecallAsked = BAD, key: str = "") -> str:
    mark = recalling.look(house.parts, house.office, asked).mark
    return recalling.begin(house.parts, house.office, asked, "It was too old.", "We come and look.", mark,
                           key or house.key())  # fmt: skip


def view(house: House, recall_id: str) -> RecallView:
    return recalling.recall(house.parts, house.office, recall_id)


def gone(house: House) -> list[tuple[str, str]]:
    return sorted(one for one in house.letters() if one[0].startswith("recall"))


def test_every_record_that_names_it_is_listed_in_one_step_and_nothing_is_told(house: House) -> None:
    furnish(house)
    letters = house.rows(Letter)

    concerned = recalling.look(house.parts, house.office, BAD).records

    assert {one.row.lot: (one.holder, one.mailed) for one in concerned} == {
        "Lot 1": ("Ada Roe", True), "Lot 2": ("", False), "Lot 3": ("Ben Alder", False),
    }  # fmt: skip
    assert (house.rows(Letter), house.rows(Recall)) == (letters, 0)


def test_a_certificate_concerns_all_it_signed_within_the_days(house: House) -> None:
    furnish(house)
    house.clock.turn_to(date(2027, 9, 1))
    treated_with(house, "Lot 9", "")
    by = RecallAsked("certificate", "ca 0417")

    assert len(looked(house, by)) == 5
    assert looked(house, RecallAsked("certificate", "CA-0417", date(2027, 8, 1))) == ["Lot 9"]
    assert len(looked(house, RecallAsked("certificate", "CA-0417", None, date(2027, 8, 1)))) == 4
    assert looked(house, RecallAsked("certificate", "CA-0533")) == []


def test_a_record_that_names_it_only_in_a_further_page_is_listed_and_marked(lite: House) -> None:
    lots = furnish(lite)
    from portal.acts import treating

    treating.sign_off(lite.parts, lite.office, lots["Lot 4"])
    page = PageTyped("product", "Lot number BL-2040", "Lot number BL-204", "A digit too many.")
    amending.amend(lite.parts, lite.office, lots["Lot 4"], lite.version(lots["Lot 4"]), page)

    concerned = recalling.look(lite.parts, lite.office, BAD).records

    assert {one.row.lot: one.amended for one in concerned} == {
        "Lot 1": False, "Lot 2": False, "Lot 3": False, "Lot 4": True,
    }  # fmt: skip


def test_letters_are_prepared_one_a_builder_and_one_a_holder_and_none_leaves(house: House) -> None:
    lots = furnish(house)

    found = view(house, begin(house))

    told = {(one.name, one.email, one.everybody, one.state) for one in found.letters}
    assert told == {
        ("Harrow & Finch Homes", "", True, "prepared"), ("Osier Creek Builders", "", True, "prepared"),
        ("Ada Roe", "ada@example.org", False, "prepared"),
    }  # fmt: skip
    assert (found.number, found.prepared, found.houses.total) == ("RC-2027-0001", 3, 3)
    assert gone(house) == []
    assert house.verbs(lots["Lot 2"])[-1] == "recall" and "recall" not in house.verbs(lots["Lot 4"])


def test_a_builders_letter_names_all_of_its_lots_and_no_others(lite: House) -> None:
    furnish(lite)

    found = {one.name: one.text for one in view(lite, begin(lite)).letters}

    own, others = found["Harrow & Finch Homes"], found["Osier Creek Builders"]
    assert "Lot 1" in own and "Lot 2" in own and "Lot 3" not in own and "Ada" not in own
    assert "Lot 3" in others and "Lot 1" not in others
    assert "It was too old." in own and "We come and look." in found["Ada Roe"]


def test_a_press_sends_one_just_as_it_was_read(house: House) -> None:
    furnish(house)
    recall_id = begin(house)
    ada = next(one for one in view(house, recall_id).letters if one.name == "Ada Roe")

    recall_letters.send_letter(house.parts, house.office, recall_id, ada.id)

    with house.parts.store.reading() as work:
        sent = work.session.query(Letter).filter_by(to="ada@example.org").all()
    assert [(row.subject, row.text) for row in sent if row.subject == ada.subject] == [
        (ada.subject, ada.text)
    ]
    again = recalling.recall_letter(house.parts, house.office, recall_id, ada.id)
    assert (again.state, again.decided_by) == ("sent", "Terrence Udall")
    send = partial(recall_letters.send_letter, house.parts, house.office, recall_id, ada.id)
    assert refusal(send) == "This letter is sent already."


def test_one_is_left_out_and_the_rest_are_sent_by_one_press(house: House) -> None:
    furnish(house)
    recall_id = begin(house)
    osier = next(one for one in view(house, recall_id).letters if one.name == "Osier Creek Builders")
    recall_letters.leave_out(house.parts, house.office, recall_id, osier.id)

    sent = recall_letters.send_all(house.parts, house.office, recall_id, 2)

    assert sent == 2
    assert gone(house) == [("recall_builder", "harriet@example.com"), ("recall_holder", "ada@example.org")]
    states = {one.name: one.state for one in view(house, recall_id).letters}
    assert states == {
        "Harrow & Finch Homes": "sent", "Ada Roe": "sent", "Osier Creek Builders": "left out",
    }  # fmt: skip


def test_two_who_press_send_all_at_once_send_each_letter_once(house: House) -> None:
    furnish(house)
    recall_id = begin(house)

    press = partial(recall_letters.send_all, house.parts, house.office, recall_id, 3)
    answers = at_once(press, press)

    assert sorted(type(answer).__name__ for answer in answers) == ["Refused", "int"]
    assert len(gone(house)) == 3


def test_what_was_not_looked_at_is_not_sent(lite: House) -> None:
    furnish(lite)
    recall_id = begin(lite)

    assert "3 letters wait now" in refusal(
        lambda: recall_letters.send_all(lite.parts, lite.office, recall_id, 2)
    )
    assert gone(lite) == []


def test_a_holder_who_has_handed_it_on_is_not_written_to(lite: House) -> None:
    lots = furnish(lite)
    recall_id = begin(lite)
    with lite.parts.store.writing() as work:
        row = work.session.query(Holder).filter_by(email="ada@example.org").one()
        row.until, row.ended_reason = lite.parts.today(), "sold"
        holders.add_holder(work, row.warranty_id, name="Cid", email="cid@example.org", phone="",
                           since=lite.parts.today(), how="transferred", made_by="Ada Roe")  # fmt: skip

    recall_letters.send_all(lite.parts, lite.office, recall_id, 3)

    assert not [to for kind, to in gone(lite) if kind == "recall_holder"]
    assert {one.name: one.state for one in view(lite, recall_id).letters}["Ada Roe"] == "left out"
    assert lite.verbs(lots["Lot 1"])[-1] == "recall letter left out"


def test_nothing_is_prepared_for_houses_that_nobody_looked_at(lite: House) -> None:
    furnish(lite)
    mark = recalling.look(lite.parts, lite.office, BAD).mark
    treated_with(lite, "Lot 5", "BL-204")

    said = refusal(lambda: recalling.begin(lite.parts, lite.office, BAD, "Old.", "Look.", mark, "k"))

    assert said.startswith("These are not the houses") and lite.rows(Recall) == 0


def test_sent_twice_it_is_one(house: House) -> None:
    furnish(house)
    assert begin(house, key="k") == begin(house, key="k")
    assert house.rows(Recall) == 1


@pytest.mark.parametrize(
    ("asked", "at"),
    [
        (RecallAsked("product lot", ""), "value"), (RecallAsked("product lot", " - "), "value"),
        (RecallAsked("weather", "BL-204"), "kind"),
        (RecallAsked("product lot", "BL-204", date(2027, 5, 2), date(2027, 5, 1)), "until"),
    ],
)  # fmt: skip
def test_what_cannot_be_looked_for_is_told_beside_its_field(lite: House, asked: RecallAsked, at: str) -> None:
    assert list(problems(lambda: recalling.look(lite.parts, lite.office, asked))) == [at]


def test_letters_need_their_words(lite: House) -> None:
    furnish(lite)
    found = problems(lambda: recalling.begin(lite.parts, lite.office, BAD, " ", "", "", "k"))
    assert list(found) == ["found", "to_do"]


def test_houses_and_letters_are_shown_page_by_page_and_counted_whole(
    lite: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recalling, "PAGE", 2)
    furnish(lite)
    first, second = (recalling.look(lite.parts, lite.office, BAD, page) for page in (1, 2))

    assert {one.row.lot for one in (*first.records, *second.records)} == {"Lot 1", "Lot 2", "Lot 3"}
    assert (len(first.records), len(second.records)) == (2, 1)
    assert first.mark == second.mark and (first.total, first.pages) == (3, 2)
    assert recalling.look(lite.parts, lite.office, BAD, 99) == second
    made = begin(lite)
    views = [recalling.recall(lite.parts, lite.office, made, page, page) for page in (1, 2)]
    assert [len(one.houses.records) for one in views] == [2, 1]
    assert [letter.name for one in views for letter in one.letters] == [
        "Harrow & Finch Homes", "Osier Creek Builders", "Ada Roe",
    ]  # fmt: skip
    counted = {(one.prepared, one.unmailed, one.houses.total, one.letters_pages) for one in views}
    assert counted == {(3, 2, 3, 2)}
