"""Payments through the office's pages, and the builder's own."""

from __future__ import annotations

from decimal import Decimal

import pytest
from flask.testing import FlaskClient

from portal.acts import accounts
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def account_url(visits: Visits) -> str:
    return f"/office/payments/builders/{visits.house.builder.company_id}"


def credit(visits: Visits) -> Decimal:
    house = visits.house
    return accounts.account(house.parts, house.office, house.builder.company_id or "").credit


def test_a_payment_is_recorded_from_money_in_and_pays_the_oldest_first(
    visits: Visits, office: FlaskClient
) -> None:
    first, second = visits.house.treated(), visits.house.treated()
    assert 'href="/office/payments"' in office.get("/office/money").get_data(as_text=True)
    assert f'href="{account_url(visits)}/new"' in office.get("/office/payments").get_data(as_text=True)
    form = form_of(office.get(f"{account_url(visits)}/new"), "/new")
    form |= {"receive-amount": "600", "receive-method": "check", "receive-reference": "2288"}

    answer = office.post(f"{account_url(visits)}/new", data=form)
    again = office.post(f"{account_url(visits)}/new", data=form)

    assert (answer.status_code, again.status_code) == (303, 303)
    assert [visits.house.open_of(lot) for lot in (first, second)] == [0, Decimal("481.02")]
    page = text_of(office.get(answer.headers["Location"]))
    assert "INV-2027-0001" in page and "INV-2027-0002" in page and "$59.49" in page


def test_what_is_over_is_said_beside_its_field_and_kept_once_it_is_ticked(
    visits: Visits, office: FlaskClient
) -> None:
    visits.house.treated()
    form = form_of(office.get(f"{account_url(visits)}/new"), "/new")
    form |= {"receive-amount": "600", "receive-method": "check", "receive-reference": "No. 7"}

    page = office.post(f"{account_url(visits)}/new", data=form)

    assert page.status_code == 422 and "$59.49 more came than is open" in error_at(page, "receive-keep")
    kept = form_of(page, "/new")
    assert kept["receive-reference"] == "No. 7" and "receive-keep" not in kept  # not ticked by itself
    assert office.post(f"{account_url(visits)}/new", data=kept | {"receive-keep": "59.49"}).status_code == 303
    assert credit(visits) == Decimal("59.49")


def test_on_a_lots_sheet_what_is_over_is_asked_for_alike(visits: Visits, office: FlaskClient) -> None:
    lot = visits.house.treated()
    form = form_of(office.get(f"/office/lots/{lot}/invoice"), "/pay") | {
        "pay-amount": "541", "pay-method": "cash",
    }  # fmt: skip

    page = office.post(f"/office/lots/{lot}/pay", data=form)
    assert page.status_code == 422 and "$0.49 more came than is open" in error_at(page, "pay-keep")
    done = office.post(f"/office/lots/{lot}/pay", data=form_of(page, "/pay") | {"pay-keep": "0.49"})

    assert done.status_code == 303 and visits.house.open_of(lot) == 0 and credit(visits) == Decimal("0.49")


def test_a_part_that_is_too_much_is_told_beside_its_invoice_and_kept(
    visits: Visits, office: FlaskClient
) -> None:
    lot = visits.house.treated()
    part = f"part-{visits.house.invoice(lot).id}"
    page = office.get(f"{account_url(visits)}/new?invoice={part[5:]}")
    form = form_of(page, "/new")
    assert (form["receive-amount"], form[part], form["receive-how"]) == ("540.51", "540.51", "chosen")

    answer = office.post(f"{account_url(visits)}/new", data=form | {"receive-method": "cash", part: "541"})

    assert answer.status_code == 422
    assert "$541.00 would be too much" in error_at(answer, part)
    assert form_of(answer, "/new")[part] == "541"


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("amount", "some", "no amount of money"), ("amount", "0", "more than zero"),
        ("method", "", "Choose how"),
        ("received_on", "2099-01-01", "has not come yet"), ("received_on", "soon", "is no day"),
        ("how", "x", "Choose what it pays"), ("reference", "x" * 81, "At most 80"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_beside_its_field(
    visits: Visits, office: FlaskClient, field: str, typed: str, said: str
) -> None:
    visits.house.treated()
    form = form_of(office.get(f"{account_url(visits)}/new"), "/new")
    form |= {"receive-amount": "10", "receive-method": "check", f"receive-{field}": typed}

    page = office.post(f"{account_url(visits)}/new", data=form)

    assert page.status_code == 422 and said in error_at(page, f"receive-{field}")


def test_a_payment_that_did_not_hold_says_what_follows_and_is_recorded_once(
    visits: Visits, office: FlaskClient
) -> None:
    house = visits.house
    lot = house.paid()
    payment = house.invoice(lot).payments[0].id
    page = office.get(f"/office/payments/{payment}/bounced")
    assert "INV-2027-0001, Lot 1: $540.51 is owed again." in text_of(page)
    assert "A warranty is in force and stays so." in text_of(page)
    form = form_of(page, "/bounced")
    empty = office.post(f"/office/payments/{payment}/bounced", data=form)
    assert "Say what happened." in error_at(empty, "bounced-kind")

    form |= {"bounced-kind": "bounced", "bounced-reason": "Account closed."}
    for _ in range(2):
        assert office.post(f"/office/payments/{payment}/bounced", data=form).status_code == 303

    assert house.open_of(lot) == Decimal("540.51")
    assert "Account closed." in text_of(office.get(f"/office/payments/{payment}"))
    assert "the warranty is in force" in text_of(office.get("/office/today"))
    for sheet in ("invoice", "warranty"):
        assert "It stays in force" in text_of(office.get(f"/office/lots/{lot}/{sheet}"))
    assert "It did not hold" not in text_of(office.get(f"/office/payments/{payment}"))


def test_credit_is_used_and_paid_back_on_the_account(visits: Visits, office: FlaskClient) -> None:
    house, url = visits.house, account_url(visits)
    form = form_of(office.get(f"{url}/new"), "/new")
    form |= {"receive-amount": "100", "receive-method": "check", "receive-how": "none"}
    office.post(f"{url}/new", data=form)
    lot = house.treated()
    part = f"part-{house.invoice(lot).id}"

    page = office.get(url)
    too_much = office.post(f"{url}/use", data=form_of(page, "/use") | {part: "100.01"})
    assert too_much.status_code == 422 and "the credit is $100.00" in text_of(too_much)
    assert office.post(f"{url}/use", data=form_of(page, "/use") | {part: "60"}).status_code == 303
    back = form_of(office.get(url), "/refund") | {"refund-amount": "40", "refund-method": "check"}
    assert "Give the reason" in error_at(office.post(f"{url}/refund", data=back), "refund-reason")
    assert office.post(f"{url}/refund", data=back | {"refund-reason": "Asked for."}).status_code == 303

    assert (house.open_of(lot), credit(visits)) == (Decimal("480.51"), 0)


def test_a_write_off_is_an_owners(visits: Visits) -> None:
    house = visits.house
    lot = house.treated()
    url = f"/office/invoices/{house.invoice(lot).id}/write-off"
    assert url not in visits.by(house.office).get(f"/office/lots/{lot}/invoice").get_data(as_text=True)
    owner = visits.by(house.owner)
    assert url in owner.get(f"/office/lots/{lot}/invoice").get_data(as_text=True)
    form = form_of(owner.get(url), "/write-off")
    assert "Give the reason" in error_at(owner.post(url, data=form), "write-off-reason")

    assert owner.post(url, data=form | {"write-off-reason": "Gone."}).status_code == 303

    assert house.invoice(lot).state == "written off"
    assert "written off" in text_of(owner.get(f"/office/lots/{lot}/invoice"))


def test_a_builder_reads_what_it_paid_and_its_credit(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    house.treated()
    form = form_of(office.get(f"{account_url(visits)}/new"), "/new")
    form |= {"receive-amount": "600", "receive-method": "check", "receive-keep": "59.49"}
    office.post(f"{account_url(visits)}/new", data=form)

    page = visits.by(house.builder).get("/papers/payments")

    assert "$59.49 kept as credit" in text_of(page) and "/office/" not in page.get_data(as_text=True)
    assert "What we paid, and our credit" in text_of(visits.by(house.builder).get("/papers"))
