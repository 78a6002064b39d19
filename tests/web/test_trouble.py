"""Trouble at a treated house: reported without an account, carried to its end by the office, told of."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from PIL import Image
from sqlalchemy import text
from werkzeug.test import TestResponse

from portal.acts import reporting, troubles
from portal.acts.reporting import TroubleTyped
from portal.core.errors import Refused, TooManyTries
from tests.parts.counting import counted
from tests.parts.house import House
from tests.parts.pictures import a_photo
from tests.parts.refusals import problems
from tests.parts.warranties import owned, treated_with
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

SAID = {"words": "A soft sill by the back door.", "name": "Ivo Roe", "email": "ivo@example.org", "phone": ""}
HERE = "203.0.113.7"  # TEST-NET-3, RFC 5737


def path_of(house: House, lot: str) -> str:
    return house.warranty(lot).link.removeprefix(house.settings.base_url)


def report(house: House, lot: str, address: str = HERE, **changes: str) -> str:
    token = house.warranty(lot).link.rpartition("/")[2]
    typed = TroubleTyped(**SAID | changes)
    return reporting.report(house.parts, token, typed, (), address, house.key()).number


def letters_of(house: House) -> list[tuple[str, str]]:
    return [one for one in house.letters() if one[0].startswith("trouble")]


def step(visits: Visits, at: str, kind: str, **typed: object) -> TestResponse:
    client = visits.by(visits.house.office)
    form = form_of(client.get(at), f"/{kind}")
    return client.post(f"{at}/{kind}", data={**form, **typed}, content_type="multipart/form-data")


def test_from_the_report_to_the_closing_letter(visits: Visits) -> None:
    house = visits.house
    lot = owned(house, treated_with(house, "Lot 1", "BL-204"))
    treated_with(house, "Lot 2", "BL-204")
    home, path = visits.by(None), f"{path_of(house, lot)}/trouble"

    form = form_of(home.get(path), "")
    wrong = home.post(path, data=form | SAID | {"words": "", "email": "nobody"})
    assert wrong.status_code == 422 and "Write what you see" in error_at(wrong, "words")
    assert "is no mail address" in error_at(wrong, "email") and "Ivo Roe" in wrong.text
    no_mail = form | SAID | {"email": "", "photos": (io.BytesIO(a_photo()), "sill.jpg")}
    lost = home.post(path, content_type="multipart/form-data", data=no_mail)
    assert "choose them again" in error_at(lost, "photos")
    sent = home.post(path, content_type="multipart/form-data",
                     data=form | SAID | {"photos": (io.BytesIO(a_photo()), "sill.jpg")})  # fmt: skip
    assert sent.status_code == 200 and "TB-2027-0001" in text_of(sent)
    assert ("trouble_reported", "ivo@example.org") in letters_of(house)

    office = visits.by(house.office)
    listed = office.get("/office/trouble")
    assert "TB-2027-0001" in text_of(listed) and "1 open" in text_of(office.get("/office/warranties"))
    found = troubles.list_troubles(house.parts, house.office)[0]
    assert found.same_product == 1
    at = f"/office/trouble/{found.id}"
    day = house.parts.today().isoformat()
    assert step(visits, at, "answered", words="We come and look.").status_code == 303
    no_day = step(visits, at, "booked", words="At nine.", person="Noor Vale")
    assert (
        no_day.status_code == 422
        and "Enter the day." in error_at(no_day, "day")
        and "At nine." in no_day.text
    )
    assert step(visits, at, "booked", words="At nine.", day=day, person="Noor Vale").status_code == 303
    assert step(visits, at, "found", words="Soft over two feet.",
                photos=(io.BytesIO(a_photo()), "a.jpg")).status_code == 303  # fmt: skip
    unreasoned = step(visits, at, "decided", words="By the terms.", decision="covered")
    assert unreasoned.status_code == 422 and "Tick each sentence" in error_at(unreasoned, "clauses")
    clause = troubles.trouble(house.parts, house.office, found.id).covers[0]
    said = step(visits, at, "decided", words="It is the framing.", decision="covered", clauses=clause)
    assert said.status_code == 303
    assert step(visits, at, "done", words="Sprayed again.", day=day, person="Noor Vale").status_code == 303
    assert step(visits, at, "closed", words="That was all of it.").status_code == 303

    told = [to for kind, to in letters_of(house) if kind == "trouble_told"]
    assert told.count("ivo@example.org") == 6 and told.count("ada@example.org") == 1
    assert "No report is open." in text_of(office.get("/office/trouble"))
    past = text_of(home.get(path_of(house, lot)))
    assert "Trouble was reported." in past and "The report of trouble was closed." in past
    assert "soft sill" not in past and "Ivo" not in past


def test_a_photo_keeps_nothing_of_where_it_was_taken(visits: Visits) -> None:
    house = visits.house
    lot = treated_with(house, "Lot 1", "BL-204")
    path = f"{path_of(house, lot)}/trouble"
    raw, exif = io.BytesIO(), Image.Exif()
    exif[0x010F] = "a phone"  # Exif 2.32, tag 271: Make
    Image.new("RGB", (40, 30), "brown").save(raw, "JPEG", exif=exif)
    home = visits.by(None)
    form = form_of(home.get(path), "") | SAID
    bad = home.post(path, content_type="multipart/form-data",
                    data=form | {"photos": (io.BytesIO(b"<svg/>"), "a.jpg")})  # fmt: skip
    assert bad.status_code == 422 and "no photo that can be read" in error_at(bad, "photos")
    good = form | {"photos": (io.BytesIO(raw.getvalue()), "a.jpg")}
    assert home.post(path, content_type="multipart/form-data", data=good).status_code == 200
    made = troubles.list_troubles(house.parts, house.office)[0].id
    photo = troubles.trouble(house.parts, house.office, made).steps[0].photos[0]
    kept = visits.by(house.office).get(f"/office/trouble/{made}/photos/{photo}/whole")
    assert b"a phone" in raw.getvalue() and b"a phone" not in kept.data
    assert Image.open(io.BytesIO(kept.data)).size == (40, 30)


def test_a_form_sent_twice_is_one_report(lite: House) -> None:
    lot = treated_with(lite, "Lot 1", "BL-204")
    token, typed = lite.warranty(lot).link.rpartition("/")[2], TroubleTyped(**SAID)
    first, second = (reporting.report(lite.parts, token, typed, (), HERE, "k") for _ in range(2))
    assert first == second and len(troubles.list_troubles(lite.parts, lite.office)) == 1


def test_reports_are_slowed_down_by_address_and_by_house(lite: House) -> None:
    lot = treated_with(lite, "Lot 1", "BL-204")
    for n in range(3):
        report(lite, lot, f"203.0.113.{n}")
    with pytest.raises(TooManyTries):
        report(lite, lot, "203.0.113.9")
    lite.clock.turn_to(lite.parts.today() + timedelta(days=2), 8)
    assert report(lite, lot) == "TB-2027-0004"


def test_it_is_late_once_the_day_of_its_first_answer_is_over(lite: House) -> None:
    report(lite, treated_with(lite, "Lot 1", "BL-204"))
    row = troubles.list_troubles(lite.parts, lite.office)[0]
    lite.clock.turn_to(row.due_on, 9)
    assert not troubles.list_troubles(lite.parts, lite.office)[0].late
    lite.clock.turn_to(row.due_on + timedelta(days=1), 9)
    assert troubles.list_troubles(lite.parts, lite.office)[0].late


def test_nothing_is_decided_by_words_that_the_terms_do_not_have(lite: House) -> None:
    report(lite, treated_with(lite, "Lot 1", "BL-204"))
    row = troubles.list_troubles(lite.parts, lite.office)[0]

    def take(kind: str, typed: troubles.StepTyped) -> None:
        troubles.take_step(lite.parts, lite.office, row.id, kind, typed, (), lite.key())

    with pytest.raises(Refused):
        take("closed", troubles.StepTyped("No."))
    take("answered", troubles.StepTyped("We come."))
    take("booked", troubles.StepTyped("At nine.", lite.parts.today(), "Noor Vale"))
    take("found", troubles.StepTyped("Nothing."))
    made_up = troubles.StepTyped("No.", decision="not covered", clauses=("Made up.",))
    assert list(problems(lambda: take("decided", made_up))) == ["clauses"]


def test_a_step_that_was_told_is_not_changed(lite: House) -> None:
    report(lite, treated_with(lite, "Lot 1", "BL-204"))
    with pytest.raises(Exception, match="only grows"), lite.parts.store.writing() as work:
        work.session.execute(text("UPDATE trouble_step SET words = 'other'"))


def test_other_houses_are_all_counted_and_the_newest_shown(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(troubles, "SHOWN", 1)
    first = owned(house, treated_with(house, "Lot 1", "BL-204"))
    treated_with(house, "Lot 2", "BL-204")
    house.clock.turn_to(house.parts.today() + timedelta(days=1), 7)
    treated_with(house, "Lot 3", "bl 204")
    treated_with(house, "Lot 4", "ZZ-9")
    report(house, first)
    (row,) = troubles.list_troubles(house.parts, house.office)
    found = troubles.trouble(house.parts, house.office, row.id)

    assert row == found.row and (row.same_product, row.same_day) == (2, 1)
    assert [one.lot for one in found.same_product] == ["Lot 3"], "treated last"
    assert [one.lot for one in found.same_day] == ["Lot 2"]
    assert found.containers == ("BL204",)


def test_the_list_asks_the_same_few_questions_however_long_it_is(lite: House) -> None:
    lot = owned(lite, treated_with(lite, "Lot 1", "BL-204"))
    report(lite, lot)
    with counted(lite.parts.store) as one:
        troubles.list_troubles(lite.parts, lite.office)
    for n in range(3):
        report(lite, owned(lite, treated_with(lite, f"Lot {n + 2}", "BL-204")), f"203.0.113.{n + 20}")
    with counted(lite.parts.store) as four:
        troubles.list_troubles(lite.parts, lite.office)

    assert len(four) == len(one) <= 3
