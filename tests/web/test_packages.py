"""Packages through their pages: what each room shows and takes, and what it says when it cannot."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import asking, quoting
from portal.store import people
from tests.parts.house import House
from tests.parts.packages import L100, TOGETHER, asked_for, lots_of, packed, press, sent_package, shown
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def house(visits: Visits) -> House:
    """The house, its slices running over a package."""
    visits.house.enter("rates", TOGETHER)
    return visits.house


@pytest.fixture
def builder(visits: Visits, house: House) -> FlaskClient:
    """The builder's browser."""
    return visits.by(house.builder)


@pytest.fixture
def office(visits: Visits, house: House) -> FlaskClient:
    """The office's browser."""
    return visits.by(house.office)


def answer(client: FlaskClient, package_id: str, what: str = "accept", **typed: object) -> TestResponse:
    """Send the answer's form as it stands, with what was typed."""
    form = form_of(client.get(f"/packages/{package_id}"), f"/packages/{package_id}/accept")
    return client.post(f"/packages/{package_id}/{what}", data={**form, **typed})


def pressed(client: FlaskClient, package_id: str, what: str) -> TestResponse:
    """Press a button of the office's page."""
    form = form_of(client.get(f"/office/packages/{package_id}"), f"/office/packages/{package_id}/{what}")
    return client.post(f"/office/packages/{package_id}/{what}", data=form, follow_redirects=True)


def test_a_builder_sees_estimates_first_and_never_what_concentrate_costs(
    builder: FlaskClient, office: FlaskClient, house: House
) -> None:
    """By hand, of 1 gal at 92.00 and 5 at 415.00: nine ones are 828.00; a five and four ones 783.00."""
    package_id = packed(house)

    said, told = (text_of(client.get(path)) for client, path in (
        (builder, f"/packages/{package_id}"), (office, f"/office/packages/{package_id}")
    ))  # fmt: skip

    assert "Until the quotes are sent the prices are estimates." in said
    assert "it takes 4 containers fewer than lot by lot" in said
    assert "Lot by lot a part-used container is left behind by 3 lots; together it is one." in said
    assert "$828.00" not in said and "$783.00" not in said
    assert "Cost lot by lot $828.00 Cost together $783.00 Saved $45.00" in told


def test_an_office_line_is_no_part_of_what_the_builder_sees_before_it_is_sent(
    builder: FlaskClient, house: House
) -> None:
    lots = asked_for(house)
    package_id = packed(house, lots)
    press(house, package_id, "start")
    quoting.add_extra(house.parts, house.office, lots[0], house.version(lots[0]), "Stairs", "Two", "100.00")

    assert "$1,267.95" in text_of(builder.get(f"/packages/{package_id}"))
    assert str(shown(house, package_id).total) == "1374.95"


def test_what_the_office_cannot_do_is_said_by_lot(office: FlaskClient, house: House) -> None:
    lots = asked_for(house)
    package_id = packed(house, lots)
    house.approved(house.to_check(lots[0]))

    said = text_of(pressed(office, package_id, "send"))

    assert "One quote is sent." in said
    assert "2 lots were left as they are" in said
    assert "Lot 2: The quote is not started yet. Lot 3: The quote is not started yet." in said


def test_a_page_that_is_no_longer_so_does_nothing_and_says_so(office: FlaskClient, house: House) -> None:
    lots = asked_for(house)
    package_id = packed(house, lots)
    page = form_of(office.get(f"/office/packages/{package_id}"), "/start")
    asking.change(house.parts, house.builder, lots[0], house.version(lots[0]), house.lot_asked(house=L100))

    found = office.post(f"/office/packages/{package_id}/start", data=page)

    assert found.status_code == 409
    assert "A lot of this package changed in the meantime" in text_of(found)
    assert {lot.stage for lot in shown(house, package_id).lots} == {"asked"}


def test_sent_twice_it_is_accepted_once(builder: FlaskClient, house: House) -> None:
    package_id = sent_package(house)
    form = form_of(builder.get(f"/packages/{package_id}"), "/accept") | {
        "name": "Harriet Finch", "press": "all"
    }  # fmt: skip

    answers = [builder.post(f"/packages/{package_id}/accept", data=form) for _ in range(2)]

    assert [one.status_code for one in answers] == [303, 303]
    assert house.verbs().count("accepted") == 3


def test_nothing_typed_is_lost_where_it_cannot_be_taken(builder: FlaskClient, house: House) -> None:
    package_id = sent_package(house)
    second = lots_of(house, package_id)[1]

    found = answer(builder, package_id, lots=[second], name="", purchase_order="PO 77", reason="")

    assert found.status_code == 422
    assert error_at(found, "name") == "Type your name: it stands on the acceptance."
    page = found.get_data(as_text=True)
    assert 'value="PO 77"' in page
    assert re.search(rf'value="{second}" checked', page)
    assert {lot.stage for lot in shown(house, package_id).lots} == {"sent"}


def test_lots_are_declined_with_a_reason(builder: FlaskClient, house: House) -> None:
    package_id = sent_package(house)
    first = lots_of(house, package_id)[0]

    without = answer(builder, package_id, "decline", lots=[first])
    found = answer(builder, package_id, "decline", lots=[first], reason="Sold.")

    assert error_at(without, "reason") == "Say in a few words why, so that the office can do better."
    assert found.status_code == 303
    said = text_of(builder.get(f"/packages/{package_id}"))
    assert (
        "One lot is declined." in said and "In all, without those declined or lapsed 592.00 $845.30" in said
    )


def test_fingerprints_that_were_not_shown_are_not_accepted(builder: FlaskClient, house: House) -> None:
    package_id = sent_package(house)
    first = lots_of(house, package_id)[0]

    found = answer(builder, package_id, lots=[first], name="Harriet", **{f"seen-{first}": "1:" + "0" * 64})

    assert found.status_code == 422
    assert "Lot 1: This is not the quote that was shown." in text_of(found)


@pytest.mark.parametrize("typed", ["", "x", "1", "99999999999:x", "-1:x"])
def test_garbage_for_a_fingerprint_is_refused_and_breaks_nothing(
    builder: FlaskClient, house: House, typed: str
) -> None:
    package_id = sent_package(house)
    first = lots_of(house, package_id)[0]

    found = answer(builder, package_id, lots=[first], name="Harriet", **{f"seen-{first}": typed})

    assert found.status_code in (404, 422)
    assert {lot.stage for lot in shown(house, package_id).lots} == {"sent"}


def test_a_lot_is_taken_out_and_put_in_again_on_the_page(builder: FlaskClient, house: House) -> None:
    lots = asked_for(house)
    package_id = packed(house, lots)
    out = {"lot": f"{lots[0]}:{house.version(lots[0])}"}

    taken = builder.post(f"/packages/{package_id}/take-out", data=out, follow_redirects=True)
    again = builder.post(f"/packages/{package_id}/take-out", data=out)
    put = builder.post(
        f"/packages/{package_id}/put-in", data={"lots": lots[0], "once_key": "k"}, follow_redirects=True
    )

    assert "Taken out. The lot is priced by itself again." in text_of(taken)
    assert again.status_code == 409
    assert "One lot is put in." in text_of(put)
    assert lots_of(house, package_id) == lots


def test_without_the_right_to_answer_the_page_has_no_form(
    visits: Visits, builder: FlaskClient, house: House
) -> None:
    package_id = sent_package(house)
    with house.parts.store.writing() as work:
        people.give_rights(people.person(work, house.builder.person_id or ""), ())

    page = builder.get(f"/packages/{package_id}")

    assert "is not among your rights" in text_of(page)
    assert "/accept" not in page.get_data(as_text=True)
    assert builder.post(f"/packages/{package_id}/accept", data={"once_key": "k"}).status_code == 403


def test_packages_stand_on_the_lists_and_their_lots_not_twice(
    builder: FlaskClient, office: FlaskClient, house: House
) -> None:
    packed(house, name="Ferry Oak Court")
    house.asked(name="Lot 9")

    for client, path in ((builder, "/lots"), (builder, "/packages"), (office, "/office/packages")):
        assert "P-2027-0001, Ferry Oak Court" in text_of(client.get(path)), path
    today = text_of(office.get("/office/today"))
    assert "2 things need a hand." in today and "3 to start" in today
    assert "Lot 9" in today and "Lot 1," not in today
    assert "P-2027-0001" in text_of(office.get("/office/lots"))


def test_the_rate_book_says_what_slices_run_over(visits: Visits, house: House) -> None:
    owner = visits.by(house.owner)
    rising = form_of(owner.get("/office/rates/rates"), "") | {"rates.bands[1].per_foot": "9.00"}

    refused = owner.post("/office/rates/rates", data=rising)

    assert "the feet of all lots of a package together" in text_of(owner.get("/office/rates"))
    assert refused.status_code == 422
    assert error_at(refused, "rates.slices_over").startswith("Over the sum of a package's feet no slice may")
