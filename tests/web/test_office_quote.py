"""A quote, from what was asked to what is sent, through the office's pages."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.visits import Visits, error_at, form_of, press, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def test_the_sheet_a_lot_has_come_to_opens_first(visits: Visits, office: FlaskClient) -> None:
    house = visits.house

    for lot_id, sheet in ((house.asked(), "Takeoff"), (house.sent(), "Quote"), (house.booked(), "Treatment")):
        assert f": {sheet}" in text_of(office.get(f"/office/lots/{lot_id}")).partition(" - Sillbook")[0]


def test_a_quote_is_started_approved_and_sent(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.asked()

    assert press(office, lot_id, "start", "takeoff").status_code == 303
    assert press(office, lot_id, "approve", remarks="Call before you come.").status_code == 303
    assert press(office, lot_id, "send").status_code == 303

    revision = house.sheet(lot_id).revision
    assert revision is not None and revision.document is not None
    assert (revision.state, revision.document.remarks) == ("sent", "Call before you come.")
    assert ("quote_sent", "harriet@example.com") in house.letters()


def test_an_extra_line_needs_its_reason_and_an_amount(visits: Visits, office: FlaskClient) -> None:
    lot_id = visits.house.to_check()

    page = press(office, lot_id, "extra", label="Second trip", amount="a lot")

    assert page.status_code == 422
    assert error_at(page, "extra-reason") == "This is missing."
    assert "no amount of money" in error_at(page, "extra-amount")
    assert form_of(page, "/extra")["extra-label"] == "Second trip"


def test_an_extra_line_is_added_and_taken_off_again(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.approved()

    press(office, lot_id, "extra", label="Second trip", reason="Garage later", amount="85.00")

    revision = house.sheet(lot_id).revision
    assert revision is not None and [extra.label for extra in revision.extras] == ["Second trip"]
    assert revision.state == "to check"
    press(office, lot_id, f"extra/{revision.extras[0].id}/drop")
    after = house.sheet(lot_id).revision
    assert after is not None and not after.extras


def test_a_new_revision_takes_the_place_of_the_one_that_is_out(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.sent()

    press(office, lot_id, "revise")
    press(office, lot_id, "approve")
    press(office, lot_id, "send")

    assert [revision.state for revision in house.sheet(lot_id).revisions] == ["sent", "superseded"]
    said = text_of(office.get(f"/office/lots/{lot_id}/quote"))
    assert "rev. 2" in said and "rev. 1" in said and "superseded" in said


def test_what_cannot_be_done_any_more_is_not_offered_and_is_refused(
    visits: Visits, office: FlaskClient
) -> None:
    lot_id = visits.house.sent()

    page = office.get(f"/office/lots/{lot_id}/quote").get_data(as_text=True)
    answer = office.post(f"/office/lots/{lot_id}/send", data={"send-version": visits.house.version(lot_id)})

    assert f"/office/lots/{lot_id}/send" not in page
    assert answer.status_code == 409
    assert "The quote is sent, so this cannot be done." in text_of(answer)


def test_of_two_office_people_the_second_is_told_and_keeps_what_was_typed(
    visits: Visits, office: FlaskClient
) -> None:
    house, lot_id = visits.house, visits.house.to_check()
    late = form_of(office.get(f"/office/lots/{lot_id}/quote"), "/extra")
    house.clock.pass_by(seconds=1)
    press(visits.by(house.owner), lot_id, "extra", label="First", reason="Was first", amount="10")

    late |= {"extra-label": "Second", "extra-reason": "Was second", "extra-amount": "20"}
    page = office.post(f"/office/lots/{lot_id}/extra", data=late)

    assert page.status_code == 409
    assert "Odile Marchbank added an extra line in the meantime" in text_of(page)
    form = form_of(page, "/extra")
    assert form["extra-label"] == "Second" and form["extra-reason"] == "Was second"
    assert office.post(f"/office/lots/{lot_id}/extra", data=form).status_code == 303
    revision = house.sheet(lot_id).revision
    assert revision is not None and [extra.label for extra in revision.extras] == ["First", "Second"]


def test_a_mistake_does_not_let_one_write_over_what_somebody_else_did_in_the_meantime(
    visits: Visits, office: FlaskClient
) -> None:
    house, lot_id = visits.house, visits.house.to_check()
    late = form_of(office.get(f"/office/lots/{lot_id}/quote"), "/extra")
    house.clock.pass_by(seconds=1)
    press(visits.by(house.owner), lot_id, "extra", label="First", reason="Was first", amount="10")

    late |= {"extra-label": "Second", "extra-reason": "Was second", "extra-amount": "x"}
    wrong = office.post(f"/office/lots/{lot_id}/extra", data=late)
    mended = form_of(wrong, "/extra") | {"extra-amount": "20"}

    assert wrong.status_code == 422
    assert office.post(f"/office/lots/{lot_id}/extra", data=mended).status_code == 409


def test_what_was_typed_is_shown_where_its_form_is_gone(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.to_check()
    late = form_of(office.get(f"/office/lots/{lot_id}/quote"), "/extra")
    house.sent(house.approved(lot_id))

    late |= {"extra-label": "Long sentence about it", "extra-reason": "Why", "extra-amount": "20"}
    page = office.post(f"/office/lots/{lot_id}/extra", data=late)

    assert page.status_code == 409
    assert "What you wanted to do cannot be done any more." in text_of(page)
    assert "Long sentence about it" in text_of(page)


def correction(page: TestResponse, **changes: str) -> dict[str, str]:
    """The takeoff form as shown, with changes by the path of their field."""
    return form_of(page, "") | {"press": "work"} | changes


def worked(client: FlaskClient, lot_id: str, **changes: str) -> TestResponse:
    """The takeoff form after its changes were worked out."""
    path = f"/office/lots/{lot_id}/correct"
    return client.post(path, data=correction(client.get(path), **changes))


WIDTH = "levels[0].outline.rectangles[0].width"


def test_the_takeoff_is_corrected_on_the_builders_own_form(visits: Visits, office: FlaskClient) -> None:
    # By hand: 2 × (60 + 27) + 128 = 302 ft.
    house, lot_id = visits.house, visits.house.to_check()

    page = worked(office, lot_id, **{WIDTH: "60"})
    sent = office.post(f"/office/lots/{lot_id}/correct", data=correction(page, press="send"))

    assert "302" in text_of(page)
    assert sent.status_code == 303
    takeoff = house.sheet(lot_id).takeoff
    assert (takeoff.estimate["feet"]["total"], takeoff.entered_by) == ("302.00", "Terrence Udall")


def test_a_length_that_cannot_be_read_is_told_beside_its_field(visits: Visits, office: FlaskClient) -> None:
    page = worked(office, visits.house.to_check(), **{WIDTH: "60 6"})

    assert page.status_code == 422
    assert "60 6" in error_at(page, WIDTH)


def test_a_correction_that_was_overtaken_keeps_what_was_typed_and_can_be_sent_again(
    visits: Visits, office: FlaskClient
) -> None:
    house, lot_id = visits.house, visits.house.to_check()
    late = worked(office, lot_id, **{WIDTH: "60"})
    house.clock.pass_by(seconds=1)
    press(visits.by(house.owner), lot_id, "extra", label="First", reason="Was first", amount="10")

    page = office.post(f"/office/lots/{lot_id}/correct", data=correction(late, press="send"))

    assert page.status_code == 409
    assert "Odile Marchbank changed this lot in the meantime" in text_of(page)
    assert form_of(page, "")[WIDTH] == "60"
    again = office.post(f"/office/lots/{lot_id}/correct", data=correction(page, press="send"))
    assert again.status_code == 303
    assert house.sheet(lot_id).takeoff.estimate["feet"]["total"] == "302.00"


def test_a_sent_quote_cannot_be_corrected_under_the_builder(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.sent()

    page = worked(office, lot_id, **{WIDTH: "60"})
    answer = office.post(f"/office/lots/{lot_id}/correct", data=correction(page, press="send"))

    assert answer.status_code == 409
    assert house.sheet(lot_id).takeoff.estimate["feet"]["total"] == "296.00"


def test_the_history_tells_who_did_what_with_its_details(visits: Visits, office: FlaskClient) -> None:
    lot_id = visits.house.to_check()
    press(office, lot_id, "extra", label="Second trip", reason="Garage later", amount="85")

    said = text_of(office.get(f"/office/lots/{lot_id}/quote"))

    assert "Terrence Udall added an extra line: Second trip" in said
    assert "amount $85.00" in said and "reason Garage later" in said


def test_a_paper_is_shown_under_its_name(visits: Visits, office: FlaskClient) -> None:
    lot_id = visits.house.sent()

    answer = office.get(f"/office/lots/{lot_id}/papers/quote/1")

    assert answer.mimetype == "application/pdf"
    assert answer.headers["Content-Disposition"].startswith('inline; filename="quote-Q-2027-')
    assert office.get(f"/office/lots/{lot_id}/papers/invoice").status_code == 404
