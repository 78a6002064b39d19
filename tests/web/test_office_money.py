"""Payments, and what becomes of the warranty, through the office's pages."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from flask.testing import FlaskClient
from sqlalchemy import text

from tests.web.visits import Visits, error_at, form_of, press, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


@pytest.fixture
def owner(visits: Visits) -> FlaskClient:
    """The owner at their browser."""
    return visits.by(visits.house.owner)


def test_what_is_open_stands_in_the_amount_and_full_payment_brings_the_warranty_into_force(
    visits: Visits, office: FlaskClient
) -> None:
    house, lot_id = visits.house, visits.house.treated()

    assert (
        press(office, lot_id, "pay", "invoice", method="bank transfer", reference="T 14").status_code == 303
    )

    assert house.open_of(lot_id) == Decimal("0.00")
    assert house.warranty(lot_id).state == "in force"
    assert '/pay"' not in office.get(f"/office/lots/{lot_id}/invoice").get_data(as_text=True)


def test_a_part_payment_leaves_the_rest_open(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.treated()
    before = house.open_of(lot_id)

    press(office, lot_id, "pay", "invoice", amount="$100.00", method="check")

    assert house.open_of(lot_id) == before - 100
    assert house.warranty(lot_id).state == "held"


def test_the_same_payment_form_sent_twice_pays_once(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.treated()
    before = house.open_of(lot_id)
    form = form_of(office.get(f"/office/lots/{lot_id}/invoice"), "/pay")
    form |= {"pay-amount": "100", "pay-method": "cash"}

    first = office.post(f"/office/lots/{lot_id}/pay", data=form)
    second = office.post(f"/office/lots/{lot_id}/pay", data=form)

    assert (first.status_code, second.status_code) == (303, 303)
    assert house.open_of(lot_id) == before - 100
    assert len(house.invoice(lot_id).payments) == 1


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("amount", "0", "more than zero"),
        ("amount", "some", "no amount of money"),
        ("method", "", "Choose how it was paid."),
        ("method", "shells", "Choose how it was paid."),
        ("received_on", "", "Enter the day it came."),
        ("received_on", "2099-01-01", "has not come yet"),
        ("received_on", "yesterday", "is no day"),
        ("reference", "x" * 81, "At most 80 characters"),
    ],
)
def test_a_payment_that_cannot_be_is_refused_beside_its_field_and_keeps_what_was_typed(
    visits: Visits, office: FlaskClient, field: str, typed: str, said: str
) -> None:
    house, lot_id = visits.house, visits.house.treated()
    form = {"amount": "100", "method": "check", "reference": "No. 9"} | {field: typed}

    page = press(office, lot_id, "pay", "invoice", **form)

    assert page.status_code == 422
    assert said in error_at(page, f"pay-{field}")
    assert form_of(page, "/pay")["pay-reference"] == form["reference"]
    assert not house.invoice(lot_id).payments


def test_a_held_warranty_is_released_by_hand(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.treated()

    assert press(office, lot_id, "release", "warranty").status_code == 303

    assert house.warranty(lot_id).state == "in force"


def test_a_warranty_kept_held_stays_so_when_the_invoice_is_paid(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.treated()
    page = press(office, lot_id, "keep-held", "warranty")
    assert page.status_code == 422 and "Give the reason" in error_at(page, "keep-held-reason")

    press(office, lot_id, "keep-held", "warranty", reason="A leak is being looked at")
    house.paid(lot_id)

    assert house.warranty(lot_id).state == "held"
    assert "A leak is being looked at" in text_of(office.get(f"/office/lots/{lot_id}/warranty"))


def test_making_a_warranty_void_asks_once_more_before_it_is_done(visits: Visits, owner: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.paid()

    page = press(owner, lot_id, "void", "warranty", reason="The sill was cut out")
    assert page.status_code == 200
    assert "This cannot be undone" in text_of(page)
    assert house.warranty(lot_id).state == "in force"

    answer = owner.post(f"/office/lots/{lot_id}/void", data=form_of(page, "/void"))
    assert answer.status_code == 303
    after = house.warranty(lot_id)
    assert (after.state, after.reason) == ("void", "The sill was cut out")


def test_a_void_needs_its_reason(visits: Visits, owner: FlaskClient) -> None:
    lot_id = visits.house.treated()

    page = press(owner, lot_id, "void", "warranty")

    assert page.status_code == 422
    assert "Give the reason" in error_at(page, "void-reason")


def test_only_an_owner_makes_a_warranty_void(visits: Visits, office: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.treated()

    offered = office.get(f"/office/lots/{lot_id}/warranty").get_data(as_text=True)
    answer = office.post(f"/office/lots/{lot_id}/void", data={"void-reason": "I say so", "void-sure": "yes"})

    assert "/void" not in offered
    assert answer.status_code == 403
    assert house.warranty(lot_id).state == "held"


def test_the_invoice_shows_the_photo_of_each_wall_that_differs_to_whoever_sees_it(visits: Visits) -> None:
    house = visits.house
    lot_id = house.booked()
    house.photograph(house.job(lot_id), ["1.1.N", "1.1.S", ""])
    house.treated(lot_id, {"1.1.N": "sided"})

    for who, room in ((house.office, "/office/lots"), (house.builder, "/lots")):
        browser = visits.by(who)
        source = browser.get(f"{room}/{lot_id}/invoice").get_data(as_text=True)
        shown = re.findall(rf'src="({room}/{lot_id}/photos/[^"]+/small)"', source)
        assert len(shown) == 1 and 'alt="Photo: North side, Main floor"' in source
        assert browser.get(shown[0]).mimetype == "image/jpeg"


def test_an_invoice_whose_wall_has_no_photo_says_so(visits: Visits) -> None:
    house = visits.house
    lot_id = house.treated(found={"1.1.N": "sided"})
    # As a record from before photos were asked for: the database lets none go by itself.
    with house.parts.store.writing() as work:
        work.session.execute(text("DROP TRIGGER photo_refuses_delete"))
        work.session.execute(text("DELETE FROM photo"))

    said = text_of(visits.by(house.office).get(f"/office/lots/{lot_id}/invoice"))

    assert said.count("No photo of this wall is kept.") == 1
