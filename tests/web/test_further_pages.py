"""A record sent back, explained and amended, through the pages of the office, the field and the homeowner."""

from __future__ import annotations

import pytest

from portal.acts import treating
from tests.web.visits import Visits, error_at, form_of, press, text_of

pytestmark = pytest.mark.slow


def test_a_record_goes_back_and_comes_with_a_page(visits: Visits) -> None:
    house, lot = visits.house, visits.house.treated()
    office, field = visits.by(house.office), visits.by(house.technician)

    sent = press(office, lot, "send-back", "treatment", reason="Is it 2.96 gal?")
    stops, stop = field.get("/stops"), field.get(f"/stops/{house.job(lot)}")
    form = form_of(stop, "/explain")
    answer = field.post(f"/stops/{house.job(lot)}/explain", data=form | {
        "subject": "amounts", "was": "2.96 gal", "now": "2.69 gal", "why": "Two digits.",
    })  # fmt: skip

    assert sent.status_code == answer.status_code == 303
    assert "Is it 2.96 gal?" in text_of(stops) and "Is it 2.96 gal?" in text_of(stop)
    shown = text_of(office.get(f"/office/lots/{lot}/treatment"))
    assert "Page 2: explained by Wendell Pike" in shown and "2.69 gal" in shown
    assert press(office, lot, "sign-off", "treatment").status_code == 303


def test_while_it_is_sent_back_it_is_not_offered_to_be_signed_off(visits: Visits) -> None:
    house, lot = visits.house, visits.house.treated()
    office = visits.by(house.office)
    press(office, lot, "send-back", "treatment", reason="Why?")

    shown = office.get(f"/office/lots/{lot}/treatment")

    assert "/sign-off" not in shown.text and "waits for a page of its technician" in text_of(shown)


def test_what_is_missing_of_a_page_is_told_beside_its_field_and_the_rest_is_kept(visits: Visits) -> None:
    house, lot = visits.house, visits.house.treated()
    office, field = visits.by(house.office), visits.by(house.technician)
    press(office, lot, "send-back", "treatment", reason="Why?")
    form = form_of(field.get(f"/stops/{house.job(lot)}"), "/explain")
    typed = form | {"subject": "walls", "was": "As it was"}

    page = field.post(f"/stops/{house.job(lot)}/explain", data=typed)

    assert page.status_code == 422
    assert error_at(page, "why") == "Write why." and error_at(page, "now") == "Write what is right instead."
    assert form_of(page, "/explain")["was"] == "As it was"


def test_an_amendment_is_read_by_the_builder_and_by_the_homeowner(visits: Visits) -> None:
    house, lot = visits.house, visits.house.treated()
    treating.sign_off(house.parts, house.office, lot)
    typed = {"subject": "product", "was": "Concentrate A", "now": "Concentrate B", "why": "Label read again."}

    answer = press(visits.by(house.office), lot, "amend", "treatment", **typed)

    assert answer.status_code == 303
    assert "Page 1: amended by Terrence Udall" in text_of(
        visits.by(house.builder).get(f"/lots/{lot}/treatment")
    )
    home = text_of(visits.by(None).get(house.warranty(lot).link.removeprefix(house.settings.base_url)))
    assert "Right is: Concentrate B" in home and "Terrence" not in home


def test_an_amendment_that_lacks_something_is_shown_as_it_was_typed(visits: Visits) -> None:
    house, lot = visits.house, visits.house.treated()
    treating.sign_off(house.parts, house.office, lot)

    page = press(visits.by(house.office), lot, "amend", "treatment", subject="walls", was="Open", now="Sided")

    assert page.status_code == 422
    assert error_at(page, "amend-why") == "Write why."
    assert form_of(page, "/amend")["amend-now"] == "Sided"
