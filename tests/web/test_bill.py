"""What is about to be billed, credited and released, as the office and the builder meet it."""

from __future__ import annotations

import pytest

from portal.acts import crediting
from portal.acts.billing_terms import enter_terms
from portal.store.tables import CreditNote, Invoice
from tests.parts.packages import TOGETHER, lots_of, sent_package
from tests.web.visits import Visits, form_of

pytestmark = pytest.mark.slow


def terms(visits: Visits, **typed: str) -> None:
    """Terms of the builder's own."""
    house = visits.house
    enter_terms(
        house.parts, house.owner, house.builder.company_id or "", {"net_days": "30"} | typed, house.key()
    )


def test_a_package_is_looked_at_and_then_billed(visits: Visits) -> None:
    house = visits.house
    house.enter("rates", TOGETHER)
    terms(visits, bill_per="package")
    package = sent_package(house)
    lots = lots_of(house, package)
    for lot in lots:
        house.accept(lot)
    house.treated(house.booked(lots[0]))
    office = visits.by(house.office)

    sheet = office.get(f"/office/lots/{lots[0]}/invoice").text
    assert "It is billed with package P-2027-0001" in sheet
    assert f"/office/bill/packages/{package}" in office.get("/office/bill").text
    look = office.get(f"/office/bill/packages/{package}")
    assert "This is a dry run" in look.text and house.rows(Invoice) == 0
    draft = office.get(f"/office/bill/packages/{package}/draft.pdf")
    assert b'"draft":true' in draft.data and house.rows(Invoice) == 0

    stale = office.post(f"/office/bill/packages/{package}", data=form_of(look, "") | {"seen": "x"})
    assert stale.status_code == 409 and house.rows(Invoice) == 0
    done = office.post(f"/office/bill/packages/{package}", data=form_of(look, ""))
    assert done.status_code == 303 and house.rows(Invoice) == 1
    assert "Nothing to bill" in office.get(f"/office/bill/packages/{package}").text
    builder = visits.by(house.builder).get(f"/lots/{lots[0]}/invoice").text
    assert "INV-2027-0001" in builder and "Invoice of the package" in builder and "Credit it" not in builder


def test_a_credit_keeps_what_was_typed_and_says_what_is_wrong_beside_it(visits: Visits) -> None:
    lot = visits.house.treated()
    invoice = visits.house.invoice(lot).id
    office, at = visits.by(visits.house.office), f"/office/invoices/{invoice}/credit"
    filled = form_of(office.get(at), "") | {"reason": "Twice."}

    wrong = office.post(at, data=filled | {"line.0.0": "9999"})

    assert wrong.status_code == 422 and "$429.20 is left of this line." in wrong.text
    assert 'value="9999"' in wrong.text and "Twice." in wrong.text and visits.house.rows(CreditNote) == 0
    right = office.post(at, data=filled | {"line.0.0": "9.20"})
    assert right.status_code == 303
    assert "CN-2027-0001" in office.get(f"/office/lots/{lot}/invoice").text


def test_a_credited_invoice_is_billed_anew_as_it_was_shown(visits: Visits) -> None:
    house = visits.house
    lot = house.treated()
    invoice = house.invoice(lot).id
    office, at = visits.by(house.office), f"/office/invoices/{invoice}/rebill"
    assert "Credit it whole first" in office.get(at).text
    crediting.credit(house.parts, house.office, invoice, {}, True, "Wrong lot.", house.key())

    filled = form_of(office.get(at), "") | {
        "label.0": "Garage",
        "reason.0": "Not treated.",
        "amount.0": "-40",
    }
    unseen = office.post(at, data=filled | {"what": "issue"})
    assert unseen.status_code == 409  # it was not shown with this line
    shown = office.post(at, data=filled | {"what": "look"})
    assert "Tax on the differences" in shown.text
    done = office.post(at, data=form_of(shown, "") | {"what": "issue"})
    assert done.status_code == 303
    assert "In place of INV-2027-0001" in office.get(f"/office/lots/{lot}/invoice").text


def test_what_was_held_back_is_released_on_a_paper_of_its_own(visits: Visits) -> None:
    house = visits.house
    terms(visits, retained_percent="10", prompt_percent="2", prompt_days="10")
    lot = house.treated()
    invoice = house.invoice(lot).id
    office = visits.by(house.office)
    assert "is held back until the office releases it" in office.get(f"/office/lots/{lot}/invoice").text
    filled = form_of(office.get(f"/office/invoices/{invoice}/release"), "")
    assert filled["amount"] == "54.05"

    wrong = office.post(f"/office/invoices/{invoice}/release", data=filled | {"amount": "99"})
    assert wrong.status_code == 422 and "54.05 is held back" in wrong.text
    assert office.post(f"/office/invoices/{invoice}/release", data=filled).status_code == 303
    assert "RR-2027-0001" in office.get(f"/office/lots/{lot}/invoice").text


def test_papers_of_money_are_the_builders_own_with_the_right(visits: Visits) -> None:
    house = visits.house
    lot = house.treated()
    invoice = house.invoice(lot).id
    note = crediting.credit(house.parts, house.office, invoice, {}, True, "Wrong lot.", house.key())
    blind = house.person("builder", "Una Quist", company_id=house.builder.company_id, rights=())

    for path in (f"/money-papers/invoice/{invoice}", f"/money-papers/credit-note/{note}"):
        assert visits.by(house.builder).get(path).status_code == 200
        assert visits.by(house.rival).get(path).status_code == 404
        assert visits.by(blind).get(path).status_code == 403
    assert visits.by(house.builder).get(f"/money-papers/quote/{invoice}").status_code == 404
    assert visits.by(house.builder).get("/money-papers/invoice/nothing").status_code == 404
