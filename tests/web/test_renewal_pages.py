"""A renewal on its pages: what a form that says neither does, and what each state says."""

from __future__ import annotations

from datetime import timedelta

import pytest

from portal.acts import covering, crediting, renewal_desk, renewing
from tests.acts.test_renewing import ends, in_force, near_its_end, the_one, token
from tests.parts.house import House
from tests.web.visits import Visits, make_visits, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def visits(lite: House) -> Visits:
    """A house whose letters are as plain as the tests of acts read them."""
    return make_visits(lite)


def offered(house: House, **changes: str) -> str:
    lot = in_force(house, **changes)
    near_its_end(house, lot)
    renewing.offer_renewals(house.parts)
    return lot


@pytest.mark.parametrize("sent", [{}, {"answer": ""}, {"answer": "maybe"}])
def test_a_form_that_says_neither_leaves_nothing(visits: Visits, sent: dict[str, str]) -> None:
    offered(visits.house)
    made = the_one(visits.house).id
    answers = (
        visits.by(None).post(f"/warranty/renew/{token(visits.house)}", data=sent),
        visits.by(visits.house.office).post(f"/office/renewals/{made}/answer", data=sent),
    )
    for answer in answers:
        assert answer.status_code == 409 and "Choose one of the two." in text_of(answer)
    assert the_one(visits.house).state == "offered"


def test_what_was_left_can_be_taken_up_on_both_pages_until_its_day(visits: Visits) -> None:
    offered(visits.house)
    home, office = visits.by(None), visits.by(visits.house.office)
    way, made = f"/warranty/renew/{token(visits.house)}", the_one(visits.house).id
    home.post(way, data={"answer": "no"})
    for page in (home.get(way), office.get(f"/office/renewals/{made}")):
        markup = page.get_data(as_text=True)
        assert "can still be taken up through" in text_of(page)
        assert 'value="yes"' in markup and 'value="no"' not in markup

    visits.house.clock.turn_to(the_one(visits.house).last_day + timedelta(days=1))

    assert 'value="yes"' not in home.get(way).get_data(as_text=True)


def test_void_and_not_paid_are_said_to_the_holder_and_the_office(visits: Visits) -> None:
    house = visits.house
    lot = offered(house, renewal_inspection="no")
    home, office = visits.by(None), visits.by(house.office)
    way, made = f"/warranty/renew/{token(house)}", the_one(house).id
    renewing.answer(house.parts, token(house), yes=True)
    covering.make_void(house.parts, house.owner, lot, "Standing water.")
    assert "The warranty is void" in text_of(home.get(way))
    assert "Credit the invoice" in text_of(office.get(f"/office/renewals/{made}"))

    other = offered(house, renewal_inspection="no")
    renewing.answer(house.parts, token(house), yes=True)
    (row,) = renewal_desk.listed(house.parts, house.office)
    bill = row.invoice_id or ""
    crediting.credit(house.parts, house.office, bill, {}, True, "Left after all.", house.key())
    assert "was not paid" in text_of(home.get(f"/warranty/renew/{token(house)}"))
    assert ends(house, other) == row.ended_on
    # A sign-in does not last ten years.
    over = text_of(visits.by(house.office).get("/office/renewals?over=yes"))
    assert "Not paid" in over and "Void" in over
